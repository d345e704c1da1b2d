-- content.1: the sealed text of each row of content that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(sha256),
        sealed(media_type),
        sealed(byte_count::VARCHAR)
    ) AS sealed_text
FROM known_content($batch)
WHERE batch = $batch
ORDER BY row
