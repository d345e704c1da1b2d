-- standard_rate: a trade's standard cost rate on a day, of no grade and no worker.
-- In:  $trade VARCHAR; $day DATE; $upto BIGINT, the last batch that counts
-- Out: cost_per_hour BIGINT, 1/10000
SELECT cost_per_hour
FROM current_rate($upto)
WHERE trade = $trade AND grade IS NULL AND worker_id IS NULL AND effective_from <= $day
ORDER BY effective_from DESC
LIMIT 1
