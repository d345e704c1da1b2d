-- doubts_hours_and_times: entries whose hours are apart from their own start and finish by more than the break.
-- In:  none
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
WITH timed AS (
    SELECT *, date_diff('millisecond', start_at, finish_at) AS span_ms
    FROM staged_doubt_entry
    WHERE finish_at IS NOT NULL AND start_at IS NOT NULL
)

SELECT
    worker_id,
    day,
    [entry] AS entries,
    entry AS about,
    'worker ' || worker_id || ' has ' || hours_text(ms) || ' h on ' || day || ', but ' || strftime(start_at, '%H:%M')
        || ' to ' || strftime(finish_at, '%H:%M') || ' is ' || hours_text(span_ms)
        || CASE WHEN span_ms > clocked_ms THEN ' h, less a break of ' || (span_ms - clocked_ms) // 60000 || ' minutes'
            ELSE ' h' END AS message
FROM timed
WHERE abs(span_ms - ms) > span_ms - clocked_ms
ORDER BY day, worker_id, batch, row
