-- loads_chosen: the loads named.
-- In:  $loads VARCHAR[], as batch.row; $upto BIGINT, the last batch that counts
-- Out: file_batch BIGINT; file_row BIGINT; file VARCHAR
SELECT batch AS file_batch, row AS file_row, name AS file
FROM known_file($upto)
WHERE batch || '.' || row IN (SELECT unnest($loads::VARCHAR[]))
ORDER BY file_batch, file_row
