-- doubt_jobs: the jobs with the days they are planned from and to.
-- In:  $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; planned_start DATE; planned_finish DATE
SELECT job, planned_start, planned_finish
FROM current_job($upto)
ORDER BY job
