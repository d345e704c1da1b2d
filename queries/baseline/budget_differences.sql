-- budget_differences: the signed rows that bring budget postings to what follows from the facts that stand.
-- In:  $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; source VARCHAR; reference VARCHAR; part VARCHAR; trade VARCHAR; package_kind VARCHAR; budget_rate BIGINT, 1/10000; counts_from DATE; place BIGINT; ms BIGINT, milliseconds
WITH signed AS (
    SELECT job, source, reference, part, trade, package_kind, budget_rate, counts_from, place, ms, true AS is_new
    FROM staged_budget_posting
    UNION ALL
    SELECT job, source, reference, part, trade, package_kind, budget_rate, counts_from, place, -ms AS ms, false AS is_new
    FROM known_budget_posting($upto)
)

SELECT job, source, reference, part, trade, package_kind, budget_rate, counts_from, place, sum(ms)::BIGINT AS ms
FROM signed
GROUP BY job, source, reference, part, trade, package_kind, budget_rate, counts_from, place
HAVING sum(ms) <> 0 OR bool_and(is_new AND ms = 0)
ORDER BY ALL
