-- heads_there: the first part of each file that has parts of the one that is loaded.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; file_row BIGINT; packing VARCHAR; data BLOB
SELECT p.batch, p.file_row, c.packing, c.data
FROM known_file_part($upto) AS p
SEMI JOIN staged_file_part_alike AS t ON t.batch = p.batch AND t.file_row = p.file_row
INNER JOIN known_content($upto) AS c ON c.sha256 = p.sha256
WHERE p.part = 1
ORDER BY p.batch, p.file_row
