-- worker_name.1: the sealed text of each row of worker_name that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(worker_id),
        sealed(name_hash)
    ) AS sealed_text
FROM known_worker_name($batch)
WHERE batch = $batch
ORDER BY row
