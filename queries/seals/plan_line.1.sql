-- plan_line.1: the sealed text of each row of plan_line that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(job),
        sealed(work_package),
        sealed(trade),
        sealed(day::VARCHAR),
        sealed(ms::VARCHAR)
    ) AS sealed_text
FROM known_plan_line($batch)
WHERE batch = $batch
ORDER BY row
