-- doubts_clock_overlap: pairs of entries of a worker whose clock times overlap, past midnight too.
-- In:  none
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
WITH timed AS (
    SELECT *, unnest(CASE WHEN finish_at > day + to_hours(24) THEN [day, day + 1] ELSE [day] END) AS touched_day
    FROM staged_doubt_entry
    WHERE finish_at IS NOT NULL
)

SELECT
    a.worker_id,
    a.day,
    [a.entry, b.entry] AS entries,
    a.entry || ' ' || b.entry AS about,
    'worker ' || a.worker_id || ' has overlapping times on ' || greatest(a.start_at, b.start_at)::DATE || ': '
        || strftime(a.start_at, '%H:%M') || ' to ' || strftime(a.finish_at, '%H:%M') || ' on ' || a.handed_in || ', '
        || strftime(b.start_at, '%H:%M') || ' to ' || strftime(b.finish_at, '%H:%M') || ' on ' || b.handed_in AS message
FROM timed AS a
INNER JOIN timed AS b
    ON b.worker_id = a.worker_id
    AND b.touched_day = a.touched_day
    AND a.touched_day = greatest(a.start_at, b.start_at)::DATE
    AND (b.batch, b.row) > (a.batch, a.row)
    AND b.start_at < a.finish_at
    AND a.start_at < b.finish_at
WHERE NOT (a.start_at = b.start_at AND a.finish_at = b.finish_at AND a.booking_code IS NOT DISTINCT FROM b.booking_code)
ORDER BY a.day, a.worker_id, a.batch, a.row, b.batch, b.row
