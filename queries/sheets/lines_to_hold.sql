-- lines_to_hold: the judged lines that are held, with the reason and their text.
-- In:  none
-- Out: line_row BIGINT; reason VARCHAR; raw VARCHAR; message VARCHAR
SELECT j.line_row, j.reason, r.raw, j.message
FROM staged_judged AS j
INNER JOIN staged_held_raw AS r ON r.place = j.place
WHERE j.outcome = 'held'
ORDER BY j.line_row
