-- milestone.1: the sealed text of each row of milestone that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(job),
        sealed(work_package),
        sealed(milestone),
        sealed(weight::VARCHAR),
        sealed(planned_date::VARCHAR)
    ) AS sealed_text
FROM known_milestone($batch)
WHERE batch = $batch
ORDER BY row
