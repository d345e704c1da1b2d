-- standing_rate: the budget rate that a package's trade was first given.
-- In:  $job VARCHAR; $part VARCHAR; $trade VARCHAR; $upto BIGINT, the last batch that counts
-- Out: budget_rate BIGINT, 1/10000
SELECT budget_rate
FROM known_budget_posting($upto)
WHERE job = $job AND part = $part AND trade IS NOT DISTINCT FROM $trade AND budget_rate IS NOT NULL
GROUP BY source, reference, counts_from, place, budget_rate
HAVING sum(ms) <> 0 OR bool_and(ms = 0)
ORDER BY place, min((batch, row))
LIMIT 1
