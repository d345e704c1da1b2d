-- attachments_free: files attached that are kept with no document, and so until they are erased.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT
SELECT a.batch, a.row
FROM known_attachment($upto) AS a
ANTI JOIN known_sending($upto) AS s ON s.attached_batch = a.batch AND s.attached_row = a.row
WHERE a.sha256 IS NOT NULL
ORDER BY a.batch, a.row
