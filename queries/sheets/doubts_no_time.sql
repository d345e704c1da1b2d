-- doubts_no_time: entries of no time at all.
-- In:  none
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
SELECT
    worker_id,
    day,
    [entry] AS entries,
    entry AS about,
    'worker ' || worker_id || ' has 0 h under ' || coalesce('code ' || booking_code, 'no code') || ' on ' || day AS message
FROM staged_doubt_entry
WHERE ms = 0
ORDER BY day, worker_id, batch, row
