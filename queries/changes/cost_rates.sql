-- cost_rates: what an hour of a trade, or of a grade of it, costs the yard, from which day.
-- In:  $upto BIGINT, the last batch that counts
-- Out: trade VARCHAR; grade VARCHAR, null of the whole trade; effective_from DATE; cost_per_hour BIGINT, 1/10000
SELECT trade, grade, effective_from, cost_per_hour
FROM current_rate($upto)
WHERE trade IS NOT NULL AND worker_id IS NULL
ORDER BY trade, grade, effective_from
