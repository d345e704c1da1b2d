-- lines_released: the held lines that became entries.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; outcome VARCHAR; reason VARCHAR; message VARCHAR
SELECT line_batch, line_row, outcome, reason, message
FROM staged_judged
ORDER BY line_batch, line_row
