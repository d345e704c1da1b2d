-- package_units: the unit that each package of a job is measured in.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: work_package VARCHAR; unit VARCHAR, null where none is given
SELECT work_package, any_value(unit) AS unit
FROM current_work_package($upto)
WHERE job = $job
GROUP BY work_package
ORDER BY work_package
