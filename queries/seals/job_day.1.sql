-- job_day.1: the sealed text of each row of job_day that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(job),
        sealed(day::VARCHAR)
    ) AS sealed_text
FROM known_job_day($batch)
WHERE batch = $batch
ORDER BY row
