-- crew.1: the sealed text of each row of crew that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(worker_id),
        sealed(active_from::VARCHAR),
        sealed(active_to::VARCHAR),
        sealed(trade),
        sealed(grade),
        sealed(employment),
        sealed(supplier)
    ) AS sealed_text
FROM known_crew($batch)
WHERE batch = $batch
ORDER BY row
