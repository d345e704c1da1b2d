-- booked_by_period: time booked in a job by place and period.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $every VARCHAR, week or month; $week_start BIGINT, 0 for Monday; $upto BIGINT, the last batch that counts
-- Out: part VARCHAR; period BIGINT, its number; ms BIGINT, milliseconds
SELECT
    booked_to AS part,
    period,
    sum(ms)::BIGINT AS ms
FROM placed_time($upto, $status_date, $every, $week_start)
WHERE job = $job
GROUP BY booked_to, period
HAVING sum(ms) <> 0
ORDER BY part, period
