-- known_entry: entries: booked lines of sheets, and what was booked or reversed after them.
CREATE MACRO known_entry(upto) AS TABLE
SELECT
    l.batch,
    l.row,
    l.batch AS line_batch,
    l.row AS line_row,
    l.sheet,
    l.worker_id,
    l.day,
    l.ms,
    l.start_time,
    l.finish_time,
    l.break_minutes,
    w.booking_code,
    w.job_given,
    n.note,
    w.pay_class,
    w.trade,
    w.rework,
    w.approved_by,
    NULL::BIGINT AS reverses_batch,
    NULL::BIGINT AS reverses_row
FROM line AS l
INNER JOIN known_what(upto) AS w ON w.number = l.what
LEFT JOIN known_note(upto) AS n ON n.batch = l.batch AND n.row = l.note
WHERE l.batch <= upto AND w.held IS NULL
UNION ALL
SELECT
    batch,
    row,
    line_batch,
    line_row,
    sheet,
    worker_id,
    day,
    ms,
    start_time,
    finish_time,
    break_minutes,
    booking_code,
    job_given,
    CASE WHEN note IS NULL AND note_hash IS NOT NULL THEN 'erased' ELSE note END AS note,
    pay_class,
    trade,
    rework,
    CASE WHEN approved_by IS NULL AND approved_by_hash IS NOT NULL THEN 'erased' ELSE approved_by END
        AS approved_by,
    reverses_batch,
    reverses_row
FROM entry
WHERE batch <= upto
