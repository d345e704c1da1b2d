-- daywork_done: hours worked on a change in some days, by worker's day and trade, each worker by a number.
-- In:  $job VARCHAR; $change VARCHAR; $day_from DATE, inclusive; $day_to DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: day DATE; worker BIGINT, one number a worker; trade VARCHAR, null of a worker who is not in the crew; ms DECIMAL(38,0), milliseconds
SELECT day, worker, trade, sum(ms)::DECIMAL(38,0) AS ms
FROM owner_worked_trades($upto)
WHERE job = $job AND change = $change AND day BETWEEN $day_from AND $day_to
GROUP BY day, worker, trade
HAVING sum(ms) <> 0
ORDER BY day, worker, trade
