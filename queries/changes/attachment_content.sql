-- attachment_content: the bytes of an attached file, by the id of its attachment.
-- In:  $id VARCHAR, attachment:batch.row; $upto BIGINT, the last batch that counts
-- Out: name VARCHAR; data BLOB, null once erased
SELECT a.name, c.data
FROM known_attachment($upto) AS a
LEFT JOIN current_content($upto) AS c ON c.sha256 = a.sha256
WHERE 'attachment:' || a.batch || '.' || a.row = $id
ORDER BY a.batch, a.row
