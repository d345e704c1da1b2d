-- crew_known: the workers that the crew has, and from when to when each is active, by each row of it.
-- In:  $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; active_from DATE; active_to DATE
SELECT worker_id, active_from, active_to
FROM current_crew($upto)
ORDER BY worker_id, active_from
