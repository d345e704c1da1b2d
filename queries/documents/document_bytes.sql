-- document_bytes: the bytes of an issued document, by its number.
-- In:  $document VARCHAR, the number in the case in which it is printed; $upto BIGINT, the last batch that counts
-- Out: media_type VARCHAR; data BLOB, null once erased
SELECT c.media_type, c.data
FROM known_document($upto) AS d
LEFT JOIN current_content($upto) AS c ON c.sha256 = d.sha256
WHERE d.document = $document
ORDER BY d.batch, d.row
