-- charge_rate.1: the sealed text of each row of charge_rate that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(job),
        sealed(trade),
        sealed(grade),
        sealed(effective_from::VARCHAR),
        sealed(charge_per_hour::VARCHAR)
    ) AS sealed_text
FROM known_charge_rate($batch)
WHERE batch = $batch
ORDER BY row
