-- worked_hours: time booked to each change of a job by a day.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: change VARCHAR; ms DECIMAL(38,0), milliseconds
SELECT change, sum(ms)::DECIMAL(38,0) AS ms
FROM owner_worked_hours($upto)
WHERE job = $job AND day <= $status_date
GROUP BY change
ORDER BY change
