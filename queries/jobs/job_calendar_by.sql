-- job_calendar_by: the working days of a job as they were by a batch, each with its weight.
-- In:  $job VARCHAR; $sequence BIGINT, the batch; $upto BIGINT, the last batch that counts
-- Out: day DATE; weight DECIMAL(18,9), of a full day
SELECT day, weight
FROM current_job_day(least($sequence, $upto))
WHERE job = $job
ORDER BY day
