-- closing.1: the sealed text of each row of closing that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(closed_to::VARCHAR),
        sealed(sequence::VARCHAR),
        sealed(reason)
    ) AS sealed_text
FROM known_closing($batch)
WHERE batch = $batch
ORDER BY row
