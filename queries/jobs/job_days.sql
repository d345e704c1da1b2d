-- job_days: the working days of a job, those of one weight together.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: weight DECIMAL(18,9), of a full day; days DATE[], in order
SELECT weight, list(day ORDER BY day) AS days
FROM current_job_day($upto)
WHERE job = $job
GROUP BY weight
ORDER BY weight
