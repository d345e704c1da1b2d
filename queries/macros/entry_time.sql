-- entry_time: entries by worker, day, time and code alone, without the notes and names that known_entry joins.
CREATE MACRO entry_time(upto) AS TABLE
SELECT
    l.batch,
    l.row,
    l.batch AS line_batch,
    l.row AS line_row,
    l.worker_id,
    l.day,
    l.ms,
    w.booking_code
FROM line AS l
INNER JOIN what AS w ON w.number = l.what
WHERE l.batch <= upto AND w.held IS NULL
UNION ALL
SELECT batch, row, line_batch, line_row, worker_id, day, ms, booking_code
FROM entry
WHERE batch <= upto
