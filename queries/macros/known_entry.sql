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
    CASE WHEN w.approved_by IS NOT NULL THEN coalesce(p.name, 'erased') END AS approved_by,
    NULL::BIGINT AS reverses_batch,
    NULL::BIGINT AS reverses_row
FROM line AS l
INNER JOIN what AS w ON w.number = l.what
LEFT JOIN known_person_name(upto) AS p ON p.handle = w.approved_by
LEFT JOIN known_note(upto) AS n ON n.batch = l.batch AND n.row = l.note
WHERE l.batch <= upto AND w.held IS NULL
UNION ALL
SELECT
    e.batch,
    e.row,
    e.line_batch,
    e.line_row,
    e.sheet,
    e.worker_id,
    e.day,
    e.ms,
    e.start_time,
    e.finish_time,
    e.break_minutes,
    e.booking_code,
    e.job_given,
    CASE WHEN e.note IS NULL AND e.note_hash IS NOT NULL THEN 'erased' ELSE e.note END AS note,
    e.pay_class,
    e.trade,
    e.rework,
    CASE WHEN e.approved_by IS NOT NULL THEN coalesce(p.name, 'erased') END AS approved_by,
    e.reverses_batch,
    e.reverses_row
FROM entry AS e
LEFT JOIN known_person_name(upto) AS p ON p.handle = e.approved_by
WHERE e.batch <= upto
