-- baseline_change.1: the sealed text of each row of baseline_change that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(job),
        sealed(name),
        sealed(position::VARCHAR),
        sealed(day::VARCHAR),
        sealed(person),
        sealed(reference),
        sealed(work_package),
        sealed(trade),
        sealed(ms::VARCHAR),
        sealed(contract_sum::VARCHAR)
    ) AS sealed_text
FROM known_baseline_change($batch)
WHERE batch = $batch
ORDER BY row
