-- milestones_known: the milestones of a job's packages with their weights.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: work_package VARCHAR; milestone VARCHAR; weight DECIMAL(38,6)
SELECT work_package, milestone, weight
FROM current_milestone($upto)
WHERE job = $job
ORDER BY work_package, planned_date, milestone
