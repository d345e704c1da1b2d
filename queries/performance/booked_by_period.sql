-- booked_by_period: time booked in a job by place, with the periods that it was booked in.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $every VARCHAR, week or month; $week_start BIGINT, 0 for Monday; $upto BIGINT, the last batch that counts
-- Out: part VARCHAR; periods BIGINT[], their numbers, in any order; ms BIGINT[], milliseconds, of each
WITH booked AS (
    SELECT booked_to, period, sum(ms)::BIGINT AS ms
    FROM placed_time($upto, $status_date, $every, $week_start)
    WHERE job = $job
    GROUP BY booked_to, period
    HAVING sum(ms) <> 0
)

SELECT
    booked_to AS part,
    list(period) AS periods,
    list(ms) AS ms
FROM booked
GROUP BY booked_to
ORDER BY part
