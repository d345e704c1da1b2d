-- raw_of_held: the texts of the judged lines of a file that are held.
-- In:  none
-- Out: place BIGINT, in the file; raw VARCHAR
SELECT r.place, r.raw
FROM staged_raw AS r
SEMI JOIN (SELECT place FROM staged_judged WHERE outcome = 'held') AS j ON j.place = r.place
ORDER BY r.place
