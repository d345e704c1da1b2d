-- milestones_known: the milestones of a job's packages, as estimated and then as each baseline change replans them.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: work_package VARCHAR; milestone VARCHAR; weight DECIMAL(38,6); planned_date DATE; counts_from DATE, null of the estimate; place BIGINT, the batch in the recorded order, null of the estimate
SELECT work_package, milestone, weight, planned_date, counts_from, place
FROM milestone_version($upto)
WHERE job = $job
ORDER BY work_package, counts_from NULLS FIRST, place NULLS FIRST, planned_date, milestone
