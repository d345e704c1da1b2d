-- doubts_rework_cause: entries that give rework a cause which the yard's settings do not name.
-- In:  none
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
SELECT
    e.worker_id,
    e.day,
    [e.entry] AS entries,
    e.entry || ' ' || e.rework AS about,
    'worker ' || e.worker_id || ' has ' || hours_text(e.ms) || ' h of rework on ' || e.day || ' for "' || e.rework
        || '", a cause not in the yard''s settings' AS message
FROM staged_doubt_entry AS e
ANTI JOIN staged_doubt_cause AS c ON c.cause = e.rework
WHERE e.rework IS NOT NULL
ORDER BY e.day, e.worker_id, e.batch, e.row
