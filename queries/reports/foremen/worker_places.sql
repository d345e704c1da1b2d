-- worker_places: where each worker's time of some days stands, by job, place and cause.
-- In:  $first DATE; $last DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; job VARCHAR, null outside any; booked_to VARCHAR; cause VARCHAR; ms DECIMAL(38,0), milliseconds
SELECT worker_id, job, booked_to, cause, sum(ms)::DECIMAL(38,0) AS ms
FROM known_posting($upto)
WHERE day BETWEEN $first AND $last
GROUP BY worker_id, job, booked_to, cause
HAVING sum(ms) > 0
ORDER BY worker_id, ms DESC, job, booked_to, cause
