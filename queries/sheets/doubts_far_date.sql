-- doubts_far_date: entries of a day far from the days of most other lines of their file.
-- In:  none
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
SELECT
    e.worker_id,
    e.day,
    [e.entry] AS entries,
    e.entry AS about,
    'worker ' || e.worker_id || ' has ' || hours_text(e.ms) || ' h on ' || e.day || ', but most lines of ' || e.file
        || ' are from ' || m.first_day || ' to ' || m.last_day AS message
FROM staged_doubt_entry AS e
INNER JOIN staged_doubt_far AS m ON m.file_batch || '.' || m.file_row = e.file_id
WHERE e.day NOT BETWEEN m.first_day AND m.last_day
ORDER BY e.day, e.worker_id, e.batch, e.row
