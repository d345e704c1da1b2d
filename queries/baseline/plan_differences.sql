-- plan_differences: the signed rows that bring plan postings to what follows from the facts that stand.
-- In:  $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; source VARCHAR; reference VARCHAR; part VARCHAR; trade VARCHAR; day DATE; budget_rate BIGINT, 1/10000; counts_from DATE; place BIGINT; ms BIGINT, milliseconds
WITH signed AS (
    SELECT job, source, reference, part, trade, day, budget_rate, counts_from, place, ms
    FROM staged_plan_posting
    UNION ALL
    SELECT job, source, reference, part, trade, day, budget_rate, counts_from, place, -ms AS ms
    FROM known_plan_posting($upto)
)

SELECT job, source, reference, part, trade, day, budget_rate, counts_from, place, sum(ms)::BIGINT AS ms
FROM signed
GROUP BY job, source, reference, part, trade, day, budget_rate, counts_from, place
HAVING sum(ms) <> 0
ORDER BY ALL
