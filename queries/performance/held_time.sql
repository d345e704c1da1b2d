-- held_time: time of a job's held lines by a day, as far as it can be read, and lines of which none can.
-- In:  $job VARCHAR; $status_date DATE, inclusive
-- Out: held_ms DECIMAL(38,0), milliseconds; held_lines BIGINT; unread_lines BIGINT, with no time that a day can have
WITH one_job AS (
    SELECT code, any_value(job) AS job
    FROM staged_code
    WHERE job IS NOT NULL
    GROUP BY code
    HAVING count(DISTINCT job) = 1
),

of_job AS (
    SELECT CASE WHEN p.ms <= 86400000 THEN p.ms END AS ms
    FROM staged_parsed AS p
    LEFT JOIN one_job AS o ON o.code = p.booking_code
    WHERE coalesce(p.job_given, o.job) = $job AND (p.day IS NULL OR p.day <= $status_date)
)

SELECT
    coalesce(sum(ms), 0)::DECIMAL(38,0) AS held_ms,
    count(*) AS held_lines,
    count(*) FILTER (WHERE ms IS NULL) AS unread_lines
FROM of_job
ORDER BY held_ms
