-- parts_of_file: the parts of a file as it came, in order.
-- In:  $batch BIGINT; $row BIGINT, of the file; $upto BIGINT, the last batch that counts
-- Out: packing VARCHAR; data BLOB, null where it was erased
SELECT c.packing, c.data
FROM known_file_part($upto) AS p
LEFT JOIN known_content($upto) AS c ON c.sha256 = p.sha256
WHERE p.batch = $batch AND p.file_row = $row
ORDER BY p.part
