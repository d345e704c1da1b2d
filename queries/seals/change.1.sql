-- change.1: the sealed text of each row of change that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(job),
        sealed(change),
        sealed(title),
        sealed(requested_by),
        sealed(requested_on::VARCHAR),
        sealed(change_basis),
        sealed(origin),
        sealed(description),
        sealed(decision_needed_by::VARCHAR),
        sealed(days_requested::VARCHAR)
    ) AS sealed_text
FROM known_change($batch)
WHERE batch = $batch
ORDER BY row
