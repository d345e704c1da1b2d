-- plans_not_whole: parts of a job whose plan does not sum to their budget.
-- In:  $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; part VARCHAR
WITH budgets AS (
    SELECT job, part, sum(ms) AS ms
    FROM known_budget_posting($upto)
    WHERE package_kind NOT IN ('contingency', 'reserve')
    GROUP BY job, part
),

plans AS (
    SELECT job, part, sum(ms) AS ms
    FROM known_plan_posting($upto)
    GROUP BY job, part
)

SELECT coalesce(b.job, p.job) AS job, coalesce(b.part, p.part) AS part
FROM budgets AS b
FULL JOIN plans AS p ON p.job = b.job AND p.part = b.part
WHERE coalesce(b.ms, 0) <> coalesce(p.ms, 0)
ORDER BY job, part
