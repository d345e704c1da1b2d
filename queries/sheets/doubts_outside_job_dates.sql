-- doubts_outside_job_dates: days with time booked to a job before its planned start or after its planned finish.
-- In:  none
-- Out: worker_id VARCHAR, null, as it is of a job's day; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
WITH outside AS (
    SELECT e.entry, e.batch, e.row, e.day, j.job, j.planned_start, j.planned_finish, sum(p.ms)::BIGINT AS ms
    FROM staged_doubt_entry AS e
    INNER JOIN staged_doubt_place AS p ON p.entry = e.entry
    INNER JOIN staged_doubt_job AS j ON j.job = p.job
    WHERE e.day NOT BETWEEN j.planned_start AND j.planned_finish
    GROUP BY e.entry, e.batch, e.row, e.day, j.job, j.planned_start, j.planned_finish
)

SELECT
    NULL::VARCHAR AS worker_id,
    day,
    list(entry ORDER BY batch, row) AS entries,
    job || ' ' || planned_start || ' ' || planned_finish || ' ' || string_agg(entry, ' ' ORDER BY batch, row) AS about,
    hours_text(sum(ms)::BIGINT) || ' h are booked to ' || job || ' on ' || day
        || CASE WHEN day < planned_start THEN ', before its planned start ' || planned_start
            ELSE ', after its planned finish ' || planned_finish END AS message
FROM outside
GROUP BY job, day, planned_start, planned_finish
ORDER BY day, job
