-- attachments_astray: attachments whose file is not in the book, though neither was erased.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT
SELECT a.batch, a.row
FROM known_attachment($upto) AS a
ANTI JOIN known_content($upto) AS c ON c.sha256 = a.sha256 AND c.batch <= a.batch
WHERE a.sha256 IS NOT NULL AND NOT EXISTS (SELECT 1 FROM known_content($upto) WHERE sha256 IS NULL)
ORDER BY a.batch, a.row
