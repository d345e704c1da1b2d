-- crew_known: the workers that the crew has, on any day.
-- In:  $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR
SELECT DISTINCT worker_id
FROM current_crew($upto)
ORDER BY worker_id
