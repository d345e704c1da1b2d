-- plain_entry: entries without the names of persons; the note of a line by its row in its batch, that of a later entry as it is.
CREATE MACRO plain_entry(upto) AS TABLE
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
    w.pay_class,
    w.trade,
    w.rework,
    l.note AS note_row,
    NULL::VARCHAR AS own_note
FROM line AS l
INNER JOIN what AS w ON w.number = l.what
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
    pay_class,
    trade,
    rework,
    NULL::BIGINT AS note_row,
    CASE WHEN note IS NULL AND note_hash IS NOT NULL THEN 'erased' ELSE note END AS own_note
FROM entry
WHERE batch <= upto
