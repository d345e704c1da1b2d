-- lines_to_hold: the judged lines that are held, with the reason.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; outcome VARCHAR; reason VARCHAR; message VARCHAR
SELECT line_batch, line_row, 'held' AS outcome, reason, message
FROM staged_judged
WHERE outcome = 'held'
ORDER BY line_row
