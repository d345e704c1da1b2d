-- work_package.1: the sealed text of each row of work_package that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(job),
        sealed(work_package),
        sealed(title),
        sealed(control_account),
        sealed(trade),
        sealed(budget_ms::VARCHAR),
        sealed(planned_start::VARCHAR),
        sealed(planned_finish::VARCHAR),
        sealed(technique),
        sealed(spread),
        sealed(quantity::VARCHAR),
        sealed(unit),
        sealed(start_share::VARCHAR),
        sealed(base_package),
        sealed(cost_rate::VARCHAR),
        sealed(package_kind),
        sealed(work_kind)
    ) AS sealed_text
FROM known_work_package($batch)
WHERE batch = $batch
ORDER BY row
