-- doubts_attendance: workers whose time booked and time on the clock of a day are apart by more than is let pass.
-- In:  $tolerance_ms BIGINT, milliseconds let pass
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
SELECT
    worker_id,
    day,
    entries,
    concat_ws(' ', worker_id, day, array_to_string(entries, ' '), coalesce(clocked_ms, 0)) AS about,
    'worker ' || worker_id || ' has ' || hours_text(booked_ms) || ' h booked on ' || day || ', but '
        || CASE WHEN by_clock THEN hours_text(clocked_ms) || ' h' ELSE 'nothing' END || ' clocked' AS message
FROM staged_doubt_clocked
WHERE is_covered AND abs(booked_ms - CASE WHEN by_clock THEN clocked_ms ELSE 0 END) > $tolerance_ms::BIGINT
ORDER BY day, worker_id
