-- lines_to_question: whether a line of a file and one of the book, both left over, name the same work: without, nothing is questioned.
-- In:  none
-- Out: is_any BOOLEAN
WITH file_lines AS (
    SELECT
        {'worker_id': a.worker_id, 'date_text': a.date_text, 'duration': a.duration, 'booking_code': a.booking_code, 'note': a.note, 'pay_class': a.pay_class, 'trade': a.trade, 'rework': a.rework} AS work
    FROM staged_alike AS a
    ANTI JOIN staged_same AS s ON s.place = a.place
),

had AS (
    SELECT
        {'worker_id': h.worker_id, 'date_text': h.date_text, 'duration': h.duration, 'booking_code': h.booking_code, 'note': h.note, 'pay_class': h.pay_class, 'trade': h.trade, 'rework': h.rework} AS work
    FROM staged_had AS h
    ANTI JOIN staged_same AS s ON s.line_batch = h.line_batch AND s.line_row = h.line_row
)

SELECT count(*) > 0 AS is_any
FROM file_lines AS g
SEMI JOIN had AS h ON h.work = g.work
ORDER BY is_any
