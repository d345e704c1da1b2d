-- doubts_past_midnight: entries whose finish is not after their start, and so is read as of the next day.
-- In:  none
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
SELECT
    worker_id,
    day,
    [entry] AS entries,
    entry AS about,
    'worker ' || worker_id || ' worked from ' || strftime(start_at, '%H:%M') || ' on ' || day || ' to '
        || strftime(finish_at, '%H:%M') || ' the next day, ' || hours_text(ms) || ' h' AS message
FROM staged_doubt_entry
WHERE finish_at > day + to_hours(24)
ORDER BY day, worker_id, batch, row
