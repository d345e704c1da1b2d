-- replanned_parts: the packages that a baseline change replans, in any of their facts.
-- In:  $job VARCHAR; $name VARCHAR, of the baseline change; $upto BIGINT, the last batch that counts
-- Out: work_package VARCHAR
SELECT work_package
FROM current_replanned_package($upto)
WHERE job = $job AND name = $name
UNION
SELECT work_package
FROM current_replanned_milestone($upto)
WHERE job = $job AND name = $name
UNION
SELECT work_package
FROM current_replanned_day($upto)
WHERE job = $job AND name = $name
ORDER BY work_package
