-- doubts_before_opening: days with time booked to a package more than some days before its planned start, within the job's own dates.
-- In:  $early_days BIGINT
-- Out: worker_id VARCHAR, null, as it is of a package's day; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
WITH early AS (
    SELECT e.entry, e.batch, e.row, e.day, d.job, d.place, d.opens_on, sum(p.ms)::BIGINT AS ms
    FROM staged_doubt_entry AS e
    INNER JOIN staged_doubt_place AS p ON p.entry = e.entry
    INNER JOIN staged_doubt_planned AS d ON d.job = p.job AND d.place = p.booked_to
    INNER JOIN staged_doubt_job AS j ON j.job = p.job AND e.day >= j.planned_start
    WHERE e.day + $early_days::INTEGER < d.opens_on
    GROUP BY e.entry, e.batch, e.row, e.day, d.job, d.place, d.opens_on
)

SELECT
    NULL::VARCHAR AS worker_id,
    day,
    list(entry ORDER BY batch, row) AS entries,
    job || ' ' || place || ' ' || opens_on || ' ' || string_agg(entry, ' ' ORDER BY batch, row) AS about,
    hours_text(sum(ms)::BIGINT) || ' h are booked to ' || job || ' ' || place || ' on ' || day
        || ', before its planned start ' || opens_on AS message
FROM early
GROUP BY job, place, day, opens_on
ORDER BY day, job, place
