-- line_of_entry: the sheet line that an entry or a reversal is of.
-- In:  $id VARCHAR, as batch.row; $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT
SELECT line_batch, line_row
FROM known_entry($upto)
WHERE batch || '.' || row = $id
ORDER BY line_batch, line_row
