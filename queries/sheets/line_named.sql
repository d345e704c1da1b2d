-- line_named: a sheet line by its id.
-- In:  $id VARCHAR, as batch.row; $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT
SELECT batch AS line_batch, row AS line_row
FROM known_sheet_line($upto)
WHERE batch || '.' || row = $id
ORDER BY line_batch, line_row
