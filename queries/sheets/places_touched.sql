-- places_touched: the places of jobs that the staged differences take time from or add time to, and the newest day.
-- In:  none
-- Out: job VARCHAR; part VARCHAR; newest DATE, of the whole job
SELECT job, booked_to AS part, max(max(day)) OVER (PARTITION BY job) AS newest
FROM staged_difference
WHERE job IS NOT NULL AND ms <> 0
GROUP BY job, booked_to
ORDER BY job, part
