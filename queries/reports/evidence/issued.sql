-- issued: the documents issued of a change, with their bytes and the salts of what was sealed of them.
-- In:  $job VARCHAR; $change VARCHAR; $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT; kind VARCHAR; document VARCHAR; day DATE; sha256 VARCHAR; salt BLOB, of the digest; media_type VARCHAR; data BLOB, null once erased
SELECT d.batch, d.row, d.kind, d.document, d.issued_on AS day, d.sha256, d.sha256_salt AS salt, c.media_type, c.data
FROM stored_document($upto) AS d
LEFT JOIN current_content($upto) AS c ON c.sha256 = d.sha256
WHERE d.job = $job AND d.change = $change
ORDER BY d.batch, d.row
