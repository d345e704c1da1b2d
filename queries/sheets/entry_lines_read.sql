-- entry_lines_read: the entries chosen with what was read anew in the fields named, all else as it is booked.
-- In:  $fields VARCHAR[]; $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT; line_batch BIGINT; line_row BIGINT; sheet VARCHAR; worker_id VARCHAR; day DATE; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR; place BIGINT; date_text VARCHAR; duration_text VARCHAR; break_unread VARCHAR; reason VARCHAR, null when it can be booked; message VARCHAR
WITH named AS (
    SELECT
        list_contains($fields, 'worker_id') AS worker,
        list_contains($fields, 'date') AS date,
        list_has_any($fields, ['hours', 'start', 'finish', 'break_minutes']) AS time
),

faulty AS (
    SELECT
        r.*,
        CASE
            WHEN r.reason LIKE 'worker_%' THEN n.worker
            WHEN r.reason LIKE 'date_%' THEN n.date
            ELSE n.time
        END
        OR (n.date AND r.day IS NULL)
        OR (n.time AND coalesce(r.ms > 86400000, true)) AS is_faulty
    FROM staged_parsed AS r
    CROSS JOIN named AS n
)

SELECT
    e.batch AS entry_batch,
    e.row AS entry_row,
    e.line_batch,
    e.line_row,
    CASE WHEN list_contains($fields, 'sheet') THEN r.sheet ELSE e.sheet END AS sheet,
    CASE WHEN n.worker THEN r.worker_id ELSE e.worker_id END AS worker_id,
    CASE WHEN n.date THEN r.day ELSE e.day END AS day,
    CASE WHEN n.time THEN r.ms ELSE e.ms END AS ms,
    CASE WHEN list_contains($fields, 'start') THEN r.start_time ELSE e.start_time END AS start_time,
    CASE WHEN list_contains($fields, 'finish') THEN r.finish_time ELSE e.finish_time END AS finish_time,
    CASE WHEN list_contains($fields, 'break_minutes') THEN r.break_minutes ELSE e.break_minutes END AS break_minutes,
    CASE WHEN list_contains($fields, 'booking_code') THEN r.booking_code ELSE e.booking_code END AS booking_code,
    CASE WHEN list_contains($fields, 'job') THEN r.job_given ELSE e.job_given END AS job_given,
    CASE WHEN list_contains($fields, 'note') THEN r.note ELSE e.note END AS note,
    CASE WHEN list_contains($fields, 'pay_class') THEN r.pay_class ELSE e.pay_class END AS pay_class,
    CASE WHEN list_contains($fields, 'trade') THEN r.trade ELSE e.trade END AS trade,
    CASE WHEN list_contains($fields, 'rework') THEN r.rework ELSE e.rework END AS rework,
    CASE WHEN list_contains($fields, 'approved_by') THEN r.approved_by ELSE e.approved_by END AS approved_by,
    r.place,
    NULL::VARCHAR AS date_text,
    NULL::VARCHAR AS duration_text,
    NULL::VARCHAR AS break_unread,
    CASE WHEN r.is_faulty THEN r.reason END AS reason,
    CASE WHEN r.is_faulty THEN r.message END AS message
FROM staged_entry_chosen AS c
INNER JOIN known_entry($upto) AS e ON e.batch = c.entry_batch AND e.row = c.entry_row
INNER JOIN faulty AS r ON r.line_batch = e.line_batch AND r.line_row = e.line_row
CROSS JOIN named AS n
ORDER BY entry_batch, entry_row
