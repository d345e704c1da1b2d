-- job.1: the sealed text of each row of job that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(job),
        sealed(title),
        sealed(owner),
        sealed(contract_sum::VARCHAR),
        sealed(contract_date::VARCHAR),
        sealed(planned_start::VARCHAR),
        sealed(planned_finish::VARCHAR),
        sealed(contract_basis),
        sealed(working_week),
        sealed(days_off),
        sealed(management_reserve_ms::VARCHAR),
        sealed(owner_sees_overrun::VARCHAR),
        sealed(key_dates)
    ) AS sealed_text
FROM known_job($batch)
WHERE batch = $batch
ORDER BY row
