-- worked_base: time worked on the packages of a job by trade, grade and day, work done again left out.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: trade VARCHAR, null of a worker who is not in the crew; grade VARCHAR; day DATE; ms DECIMAL(38,0), milliseconds
SELECT trade, grade, day, sum(ms)::DECIMAL(38,0) AS ms
FROM owner_worked_base($upto)
WHERE job = $job AND day <= $status_date
GROUP BY trade, grade, day
HAVING sum(ms) <> 0
ORDER BY trade, grade, day
