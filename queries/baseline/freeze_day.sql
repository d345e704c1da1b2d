-- freeze_day: the day on which a job's estimate was frozen; no row before.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: counts_from DATE
SELECT min(counts_from) AS counts_from
FROM known_budget_posting($upto)
WHERE job = $job AND source = 'freeze'
GROUP BY job
ORDER BY counts_from
