-- doubt_settled.1: the sealed text of each row of doubt_settled that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(kind),
        sealed(about),
        sealed(settled::VARCHAR),
        sealed(reason)
    ) AS sealed_text
FROM known_doubt_settled($batch)
WHERE batch = $batch
ORDER BY row
