-- corrected_keys: the keys of the lines that were corrected, as they read now.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; line_key BLOB
SELECT line_batch, line_row, line_key
FROM staged_judged
WHERE line_key IS NOT NULL
ORDER BY line_batch, line_row
