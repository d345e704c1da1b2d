-- file_parts_by_id: the parts of a file as it came that are not erased, each with its id.
-- In:  $batch BIGINT; $row BIGINT, of the file; $upto BIGINT, the last batch that counts
-- Out: id VARCHAR; first_line BIGINT, null where parts do not end with lines; packing VARCHAR; data BLOB
SELECT 'file_part:' || p.batch || '.' || p.row AS id, p.first_line, c.packing, c.data
FROM known_file_part($upto) AS p
INNER JOIN known_content($upto) AS c ON c.sha256 = p.sha256
WHERE p.batch = $batch AND p.file_row = $row AND c.data IS NOT NULL
ORDER BY p.part
