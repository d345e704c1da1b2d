-- budgets_changed: what changed the budget of packages and changes after their first, in order.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: part VARCHAR; counts_from DATE; reference VARCHAR, a baseline change or an approved change
WITH moved AS (
    SELECT part, counts_from, place, reference
    FROM known_budget_posting($upto)
    WHERE job = $job AND source IN ('baseline_change', 'omission')
    GROUP BY part, counts_from, place, reference
    HAVING sum(ms) <> 0
)

SELECT part, counts_from, reference
FROM moved
ORDER BY part, counts_from, place, reference
