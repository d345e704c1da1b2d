-- doubt_job_days: the working days of all jobs.
-- In:  $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; day DATE
SELECT job, day
FROM current_job_day($upto)
ORDER BY job, day
