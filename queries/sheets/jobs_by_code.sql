-- jobs_by_code: of each booking code the one job that has it, and whether it is one of overhead or absence.
-- In:  none
-- Out: code VARCHAR; job VARCHAR, null of a code of several jobs or of none; is_of_no_job BOOLEAN
SELECT
    code,
    CASE WHEN count(DISTINCT job) = 1 THEN any_value(job) END AS job,
    bool_or(job IS NULL) AS is_of_no_job
FROM staged_code
GROUP BY code
ORDER BY code
