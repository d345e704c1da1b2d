-- doubt_clocked: for each worker who ever has clock times, and day, time booked as worked beside time clocked.
-- In:  $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[], as batch.row; booked_ms BIGINT, milliseconds; clocked_ms BIGINT, by the clock, without one by the times of the sheets, else null; spans BIGINT, from in to out; by_clock BOOLEAN; is_covered BOOLEAN, between the worker's first and last day on the clock
WITH clocking AS (
    SELECT worker_id
    FROM staged_doubt_entry
    WHERE clocked_ms IS NOT NULL
    UNION
    SELECT worker_id
    FROM current_attendance($upto)
),

away AS (
    SELECT DISTINCT entry
    FROM staged_doubt_place
    WHERE booked_to = 'absence'
),

booked AS (
    SELECT
        e.worker_id,
        e.day,
        list(e.entry ORDER BY e.batch, e.row) AS entries,
        sum(e.ms)::BIGINT AS booked_ms,
        CASE WHEN count(*) = count(e.clocked_ms) THEN sum(e.clocked_ms)::BIGINT END AS times_ms,
        count(*) AS spans
    FROM staged_doubt_entry AS e
    SEMI JOIN clocking AS k ON k.worker_id = e.worker_id
    ANTI JOIN away AS a ON a.entry = e.entry
    WHERE e.ms > 0
    GROUP BY e.worker_id, e.day
),

clock AS (
    SELECT worker_id, day, sum(ms)::BIGINT AS clock_ms, count(*) AS spans
    FROM current_attendance($upto)
    GROUP BY worker_id, day
),

covered AS (
    SELECT worker_id, min(day) AS first_day, max(day) AS last_day
    FROM clock
    GROUP BY worker_id
)

SELECT
    coalesce(b.worker_id, c.worker_id) AS worker_id,
    coalesce(b.day, c.day) AS day,
    coalesce(b.entries, []) AS entries,
    coalesce(b.booked_ms, 0) AS booked_ms,
    coalesce(c.clock_ms, b.times_ms) AS clocked_ms,
    coalesce(c.spans, b.spans) AS spans,
    c.worker_id IS NOT NULL AS by_clock,
    v.worker_id IS NOT NULL AS is_covered
FROM booked AS b
FULL JOIN clock AS c ON c.worker_id = b.worker_id AND c.day = b.day
LEFT JOIN covered AS v
    ON v.worker_id = coalesce(b.worker_id, c.worker_id)
    AND coalesce(b.day, c.day) BETWEEN v.first_day AND v.last_day
ORDER BY day, worker_id
