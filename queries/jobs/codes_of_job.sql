-- codes_of_job: the codes of a job's packages and changes.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: code VARCHAR; what VARCHAR, package or change
SELECT DISTINCT work_package AS code, 'package' AS what
FROM planned_package($upto)
WHERE job = $job
UNION ALL
SELECT DISTINCT change AS code, 'change' AS what
FROM current_change($upto)
WHERE job = $job
ORDER BY code, what
