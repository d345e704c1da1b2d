-- doubts_work_and_absence: workers away and at work on one day who together have more than a full day.
-- In:  $full_day_ms BIGINT, milliseconds
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
WITH away AS (
    SELECT DISTINCT e.worker_id, e.day
    FROM staged_doubt_entry AS e
    SEMI JOIN (SELECT entry FROM staged_doubt_place WHERE booked_to = 'absence') AS p ON p.entry = e.entry
),

placed AS (
    SELECT e.entry, e.batch, e.row, e.worker_id, e.day, e.ms, bool_or(p.booked_to = 'absence') AS is_away, coalesce(max(p.cause), 'absence') AS cause
    FROM staged_doubt_entry AS e
    SEMI JOIN away AS a ON a.worker_id = e.worker_id AND a.day = e.day
    INNER JOIN staged_doubt_place AS p ON p.entry = e.entry
    GROUP BY e.entry, e.batch, e.row, e.worker_id, e.day, e.ms
)

SELECT
    worker_id,
    day,
    list(entry ORDER BY batch, row) AS entries,
    string_agg(entry, ' ' ORDER BY batch, row) AS about,
    'worker ' || worker_id || ' is absent (' || string_agg(DISTINCT cause, ', ' ORDER BY cause) FILTER (WHERE is_away) || ', '
        || hours_text(sum(ms) FILTER (WHERE is_away)::BIGINT) || ' h) and at work ('
        || hours_text(sum(ms) FILTER (WHERE NOT is_away)::BIGINT) || ' h) on ' || day AS message
FROM placed
GROUP BY worker_id, day
HAVING bool_or(is_away) AND bool_or(NOT is_away) AND sum(ms) > $full_day_ms::BIGINT
ORDER BY day, worker_id
