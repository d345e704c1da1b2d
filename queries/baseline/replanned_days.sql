-- replanned_days: the plan by day that a baseline change gives packages.
-- In:  $job VARCHAR; $name VARCHAR, of the baseline change; $upto BIGINT, the last batch that counts
-- Out: work_package VARCHAR; trade VARCHAR, null of all trades; day DATE; ms BIGINT, milliseconds
SELECT work_package, trade, day, ms
FROM current_replanned_day($upto)
WHERE job = $job AND name = $name
ORDER BY work_package, trade, day
