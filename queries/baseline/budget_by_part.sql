-- budget_by_part: budgets by package or change, trade and what moved them.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: part VARCHAR; trade VARCHAR; package_kind VARCHAR; source VARCHAR; counts_from DATE; first_batch BIGINT, in the recorded order; ms BIGINT, milliseconds; cost HUGEINT, ms x 1/10000; unrated_ms BIGINT, ms without a rate
SELECT
    part,
    trade,
    package_kind,
    source,
    counts_from,
    place AS first_batch,
    sum(ms)::BIGINT AS ms,
    coalesce(sum(ms::HUGEINT * budget_rate), 0) AS cost,
    coalesce(sum(ms) FILTER (WHERE budget_rate IS NULL), 0)::BIGINT AS unrated_ms
FROM known_budget_posting($upto)
WHERE job = $job
GROUP BY part, trade, package_kind, source, reference, counts_from, place
HAVING sum(ms) <> 0 OR bool_and(ms = 0)
ORDER BY part, trade, counts_from, first_batch, source
