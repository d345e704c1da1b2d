-- job_calendar: the working days of a job.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: day DATE
SELECT day
FROM current_job_day($upto)
WHERE job = $job
ORDER BY day
