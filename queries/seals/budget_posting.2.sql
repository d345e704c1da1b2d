-- budget_posting.2: the sealed text of each row of budget_posting, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(job),
        sealed(source),
        sealed(reference),
        sealed(part),
        sealed(trade),
        sealed(package_kind),
        sealed(ms),
        sealed(budget_rate),
        sealed(counts_from),
        sealed(place)
    ) AS sealed_text
FROM known_budget_posting($upto)
WHERE batch >= $since
ORDER BY batch, row
