-- setting.1: the sealed text of each row of setting that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(name),
        sealed(value)
    ) AS sealed_text
FROM known_setting($batch)
WHERE batch = $batch
ORDER BY row
