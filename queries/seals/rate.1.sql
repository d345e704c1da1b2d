-- rate.1: the sealed text of each row of rate that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(trade),
        sealed(grade),
        sealed(worker_id),
        sealed(effective_from::VARCHAR),
        sealed(cost_per_hour::VARCHAR)
    ) AS sealed_text
FROM known_rate($batch)
WHERE batch = $batch
ORDER BY row
