-- freezes_known: the freezes of estimates, in the recorded order.
-- In:  $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; day DATE; place BIGINT, the batch in the recorded order
SELECT job, counts_from AS day, place
FROM known_budget_posting($upto)
WHERE source = 'freeze'
GROUP BY job, counts_from, place
HAVING sum(ms) <> 0 OR bool_and(ms = 0)
ORDER BY place, job
