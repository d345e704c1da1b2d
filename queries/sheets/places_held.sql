-- places_held: the places of the lines of a file that are held.
-- In:  none
-- Out: place BIGINT
SELECT place
FROM staged_judged
WHERE outcome = 'held'
ORDER BY place
