-- codes_known: what each booking code means, in each job and (job null) outside any.
-- In:  $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; code VARCHAR; booked_to VARCHAR; cause VARCHAR
WITH settings AS (
    SELECT
        split_part(name, '.', 1) AS section,
        substr(name, strpos(name, '.') + 1) AS code,
        value AS cause
    FROM current_setting($upto)
    WHERE split_part(name, '.', 1) IN ('non_productive', 'overhead', 'absence')
    QUALIFY row_number() OVER (
        PARTITION BY substr(name, strpos(name, '.') + 1)
        ORDER BY place_batch DESC, place_row DESC, batch DESC, row DESC
    ) = 1
)

SELECT DISTINCT job, work_package AS code, work_package AS booked_to, NULL::VARCHAR AS cause
FROM planned_package($upto)
UNION ALL
SELECT job, change AS code, change AS booked_to, NULL::VARCHAR AS cause
FROM current_change($upto)
UNION ALL
SELECT j.job, s.code, 'non_productive' AS booked_to, s.cause
FROM settings AS s
CROSS JOIN current_job($upto) AS j
WHERE s.section = 'non_productive'
UNION ALL
SELECT NULL::VARCHAR AS job, code, section AS booked_to, cause
FROM settings
WHERE section IN ('overhead', 'absence')
ORDER BY job, code
