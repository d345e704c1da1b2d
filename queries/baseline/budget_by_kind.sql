-- budget_by_kind: all budgets of a job by kind: of packages and changes, and of what has no package.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: package_kind VARCHAR; ms DECIMAL(38,0), milliseconds
SELECT package_kind, sum(ms)::DECIMAL(38,0) AS ms
FROM known_budget_posting($upto)
WHERE job = $job
GROUP BY package_kind
ORDER BY package_kind
