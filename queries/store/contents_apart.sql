-- contents_apart: content that is neither part of a file of sheets nor a document or an attachment: layouts, logos.
-- In:  $upto BIGINT, the last batch that counts
-- Out: id VARCHAR, as table:batch.row; packing VARCHAR; data BLOB
SELECT 'content:' || c.batch || '.' || c.row AS id, c.packing, c.data
FROM known_content($upto) AS c
ANTI JOIN known_file_part($upto) AS p ON p.sha256 = c.sha256
ANTI JOIN known_document($upto) AS d ON d.sha256 = c.sha256
ANTI JOIN known_attachment($upto) AS a ON a.sha256 = c.sha256
WHERE c.data IS NOT NULL
ORDER BY c.batch, c.row
