-- measurable: the parts of a job that somebody measures; level of effort, pots and planning are not.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: part VARCHAR; a row per package or approved change
SELECT work_package AS part
FROM planned_package($upto)
WHERE job = $job AND package_kind = 'work' AND technique <> 'level_of_effort'
UNION
SELECT p.part
FROM known_budget_posting($upto) AS p
WHERE p.job = $job AND p.package_kind = 'variation'
ORDER BY part
