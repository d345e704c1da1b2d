-- budget_posting.1: the sealed text of each row of budget_posting that one batch added, seal version 1.
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
        sealed(package_kind),
        sealed(ms::VARCHAR),
        sealed(budget_rate::VARCHAR),
        sealed(counts_from::VARCHAR),
        sealed(place::VARCHAR)
    ) AS sealed_text
FROM known_budget_posting($batch)
WHERE batch = $batch
ORDER BY row
