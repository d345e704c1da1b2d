-- doubts_day_off: days with time booked to a job that its calendar has as days off.
-- In:  none
-- Out: worker_id VARCHAR, null, as it is of a job's day; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
WITH calendar AS (
    SELECT job, min(day) AS first_day, max(day) AS last_day
    FROM staged_doubt_job_day
    GROUP BY job
),

days_off AS (
    SELECT c.job, e.day
    FROM (SELECT DISTINCT day FROM staged_doubt_entry) AS e
    INNER JOIN calendar AS c ON e.day BETWEEN c.first_day AND c.last_day
    ANTI JOIN staged_doubt_job_day AS d ON d.job = c.job AND d.day = e.day
),

off AS (
    SELECT e.entry, e.batch, e.row, e.worker_id, e.day, p.job, sum(p.ms)::BIGINT AS ms
    FROM staged_doubt_entry AS e
    SEMI JOIN days_off AS d ON d.day = e.day
    INNER JOIN staged_doubt_place AS p ON p.entry = e.entry
    INNER JOIN days_off AS o ON o.job = p.job AND o.day = e.day
    GROUP BY e.entry, e.batch, e.row, e.worker_id, e.day, p.job
)

SELECT
    NULL::VARCHAR AS worker_id,
    day,
    list(entry ORDER BY batch, row) AS entries,
    job || ' ' || string_agg(entry, ' ' ORDER BY batch, row) AS about,
    hours_text(sum(ms)::BIGINT) || ' h of ' || count(DISTINCT worker_id)
        || CASE count(DISTINCT worker_id) WHEN 1 THEN ' worker' ELSE ' workers' END || ' are booked to ' || job
        || ' on ' || day || ', a day off (' || strftime(day, '%A') || ')' AS message
FROM off
GROUP BY job, day
ORDER BY day, job
