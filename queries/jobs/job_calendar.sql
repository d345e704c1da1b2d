-- job_calendar: the working days of a job, each with its weight.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: day DATE; weight DECIMAL(18,9), of a full day
SELECT day, weight
FROM current_job_day($upto)
WHERE job = $job
ORDER BY day
