-- files_kept: the files of sheets of which all parts are there.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT; name VARCHAR; encoding VARCHAR
SELECT f.batch, f.row, f.name, f.encoding
FROM known_file($upto) AS f
WHERE (f.batch, f.row) IN (SELECT (batch, file_row) FROM known_file_part($upto))
ORDER BY f.batch, f.row
