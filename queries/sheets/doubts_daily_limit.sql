-- doubts_daily_limit: workers with more time at work on a day, over all sheets, than the yard's limit.
-- In:  $limit_ms BIGINT, milliseconds a day
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
WITH over AS (
    SELECT worker_id, day
    FROM staged_doubt_entry
    WHERE ms > 0
    GROUP BY worker_id, day
    HAVING sum(ms) > $limit_ms::BIGINT
),

away AS (
    SELECT DISTINCT entry
    FROM staged_doubt_place
    WHERE booked_to = 'absence'
)

SELECT
    e.worker_id,
    e.day,
    list(e.entry ORDER BY e.batch, e.row) AS entries,
    string_agg(e.entry, ' ' ORDER BY e.batch, e.row) AS about,
    'worker ' || e.worker_id || ' has ' || hours_text(sum(e.ms)::BIGINT) || ' h on ' || e.day || ' in ' || count(*)
        || CASE count(*) WHEN 1 THEN ' entry' ELSE ' entries' END
        || '; the yard''s limit is ' || hours_text($limit_ms::BIGINT) || ' h' AS message
FROM staged_doubt_entry AS e
SEMI JOIN over AS o ON o.worker_id = e.worker_id AND o.day = e.day
ANTI JOIN away AS a ON a.entry = e.entry
WHERE e.ms > 0
GROUP BY e.worker_id, e.day
HAVING sum(e.ms) > $limit_ms::BIGINT
ORDER BY e.day, e.worker_id
