-- crew_known: the workers that the crew has, from when to when each is active, and the trade, by each row of it.
-- In:  $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; active_from DATE; active_to DATE; trade VARCHAR
SELECT worker_id, active_from, active_to, trade
FROM current_crew($upto)
ORDER BY worker_id, active_from
