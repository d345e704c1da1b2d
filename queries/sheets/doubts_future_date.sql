-- doubts_future_date: entries of a day that had not begun anywhere on earth when they were recorded.
-- In:  none
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
SELECT
    worker_id,
    day,
    [entry] AS entries,
    entry AS about,
    'worker ' || worker_id || ' has ' || hours_text(ms) || ' h on ' || day || ', recorded before that day, on '
        || recorded_at::DATE AS message
FROM staged_doubt_entry
WHERE day > (recorded_at + to_hours(14))::DATE
ORDER BY day, worker_id, batch, row
