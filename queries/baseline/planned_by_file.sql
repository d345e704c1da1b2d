-- planned_by_file: the packages of a job that are planned by a plan file, by the last baseline change that replans them.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: work_package VARCHAR
WITH replans AS (
    SELECT job, name, work_package, false AS is_file
    FROM current_replanned_package($upto)
    UNION ALL
    SELECT job, name, work_package, false AS is_file
    FROM current_replanned_milestone($upto)
    UNION ALL
    SELECT job, name, work_package, true AS is_file
    FROM current_replanned_day($upto)
),

recorded AS (
    SELECT r.work_package, b.day, b.place, bool_or(r.is_file) AS is_file
    FROM replans AS r
    INNER JOIN rebaselined($upto) AS b ON b.job = r.job AND b.name = r.name
    WHERE r.job = $job
    GROUP BY r.work_package, b.day, b.place, b.name
),

latest AS (
    SELECT work_package, is_file
    FROM recorded
    QUALIFY row_number() OVER (PARTITION BY work_package ORDER BY day DESC, place DESC) = 1
)

SELECT work_package
FROM latest
WHERE is_file
UNION
SELECT p.work_package
FROM current_plan_line($upto) AS p
ANTI JOIN latest AS l ON l.work_package = p.work_package
WHERE p.job = $job
ORDER BY work_package
