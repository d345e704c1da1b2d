-- plan_posting.1: the sealed text of each row of plan_posting that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(job),
        sealed(source),
        sealed(reference),
        sealed(part),
        sealed(trade),
        sealed(day::VARCHAR),
        sealed(ms::VARCHAR),
        sealed(budget_rate::VARCHAR),
        sealed(counts_from::VARCHAR),
        sealed(place::VARCHAR)
    ) AS sealed_text
FROM known_plan_posting($batch)
WHERE batch = $batch
ORDER BY row
