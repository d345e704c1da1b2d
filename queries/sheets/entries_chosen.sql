-- entries_chosen: the entries named, with the lines that they are of.
-- In:  $ids VARCHAR[], as batch.row; $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT; line_batch BIGINT; line_row BIGINT
SELECT batch AS entry_batch, row AS entry_row, line_batch, line_row
FROM known_entry($upto)
WHERE batch || '.' || row IN (SELECT unnest($ids::VARCHAR[]))
ORDER BY entry_batch, entry_row
