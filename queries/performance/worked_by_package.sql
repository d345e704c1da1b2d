-- worked_by_package: time booked to each place of all jobs by trade worked, rework included.
-- In:  $status_date DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; part VARCHAR; trade VARCHAR, null of a worker who is not in the crew; ms DECIMAL(38,0), milliseconds
WITH booked AS (
    SELECT job, booked_to, worker_id, day, trade, sum(ms) AS ms
    FROM known_posting($upto)
    WHERE job IS NOT NULL AND day <= $status_date
    GROUP BY job, booked_to, worker_id, day, trade
    HAVING sum(ms) <> 0
)

SELECT
    b.job,
    b.booked_to AS part,
    r.trade,
    sum(b.ms)::DECIMAL(38,0) AS ms
FROM booked AS b
INNER JOIN rated_day($upto) AS r
    ON r.worker_id = b.worker_id AND r.day = b.day AND r.sheet_trade IS NOT DISTINCT FROM b.trade
GROUP BY b.job, b.booked_to, r.trade
ORDER BY b.job, b.booked_to, r.trade
