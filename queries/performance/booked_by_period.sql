-- booked_by_period: time booked in a job by place and period.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $every VARCHAR, week or month; $week_start BIGINT, 0 for Monday; $upto BIGINT, the last batch that counts
-- Out: part VARCHAR; day DATE, of a period its last; ms BIGINT, milliseconds
WITH booked AS (
    SELECT booked_to, day, sum(ms) AS ms
    FROM placed_time($upto)
    WHERE job = $job AND day <= $status_date
    GROUP BY booked_to, day
)

SELECT
    booked_to AS part,
    period_end(day, $every, $week_start, $status_date) AS day,
    sum(ms)::BIGINT AS ms
FROM booked
GROUP BY ALL
HAVING sum(ms) <> 0
ORDER BY part, day
