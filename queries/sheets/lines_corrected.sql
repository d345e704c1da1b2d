-- lines_corrected: held lines as they were written, with all corrections of them in place.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; place BIGINT; line BIGINT; is_total BOOLEAN; sum_key VARCHAR; raw VARCHAR; default_job VARCHAR; date_wrong VARCHAR; hours_wrong VARCHAR; sheet VARCHAR; worker_id VARCHAR; worker_name VARCHAR; date VARCHAR; hours VARCHAR; start VARCHAR; finish VARCHAR; break_minutes VARCHAR; booking_code VARCHAR; job VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR
WITH corrections AS (
    SELECT
        line_batch,
        line_row,
        bool_or(field = 'sheet') AS has_sheet,
        last(now ORDER BY batch) FILTER (WHERE field = 'sheet') AS sheet,
        bool_or(field = 'worker_id') AS has_worker_id,
        last(now ORDER BY batch) FILTER (WHERE field = 'worker_id') AS worker_id,
        bool_or(field = 'date') AS has_date,
        last(now ORDER BY batch) FILTER (WHERE field = 'date') AS date,
        bool_or(field = 'hours') AS has_hours,
        last(now ORDER BY batch) FILTER (WHERE field = 'hours') AS hours,
        bool_or(field = 'start') AS has_start,
        last(now ORDER BY batch) FILTER (WHERE field = 'start') AS start,
        bool_or(field = 'finish') AS has_finish,
        last(now ORDER BY batch) FILTER (WHERE field = 'finish') AS finish,
        bool_or(field = 'break_minutes') AS has_break_minutes,
        last(now ORDER BY batch) FILTER (WHERE field = 'break_minutes') AS break_minutes,
        bool_or(field = 'booking_code') AS has_booking_code,
        last(now ORDER BY batch) FILTER (WHERE field = 'booking_code') AS booking_code,
        bool_or(field = 'job') AS has_job,
        last(now ORDER BY batch) FILTER (WHERE field = 'job') AS job,
        bool_or(field = 'note') AS has_note,
        last(now ORDER BY batch) FILTER (WHERE field = 'note') AS note,
        bool_or(field = 'pay_class') AS has_pay_class,
        last(now ORDER BY batch) FILTER (WHERE field = 'pay_class') AS pay_class,
        bool_or(field = 'trade') AS has_trade,
        last(now ORDER BY batch) FILTER (WHERE field = 'trade') AS trade,
        bool_or(field = 'rework') AS has_rework,
        last(now ORDER BY batch) FILTER (WHERE field = 'rework') AS rework,
        bool_or(field = 'approved_by') AS has_approved_by,
        last(now ORDER BY batch) FILTER (WHERE field = 'approved_by') AS approved_by
    FROM known_line_correction($upto)
    GROUP BY line_batch, line_row
)

SELECT
    w.line_batch,
    w.line_row,
    w.place,
    w.line,
    w.is_total,
    w.sum_key,
    w.raw,
    w.default_job,
    CASE WHEN NOT coalesce(c.has_date, false) THEN w.date_wrong END AS date_wrong,
    CASE WHEN NOT coalesce(c.has_hours OR c.has_start OR c.has_finish, false)
        THEN w.hours_wrong END AS hours_wrong,
    CASE WHEN c.has_sheet THEN c.sheet ELSE w.sheet END AS sheet,
    CASE WHEN c.has_worker_id THEN c.worker_id ELSE w.worker_id END AS worker_id,
    w.worker_name,
    CASE WHEN c.has_date THEN c.date ELSE w.date END AS date,
    CASE WHEN c.has_hours THEN c.hours ELSE w.hours END AS hours,
    CASE WHEN c.has_start THEN c.start ELSE w.start END AS start,
    CASE WHEN c.has_finish THEN c.finish ELSE w.finish END AS finish,
    CASE WHEN c.has_break_minutes THEN c.break_minutes ELSE w.break_minutes END AS break_minutes,
    CASE WHEN c.has_booking_code THEN c.booking_code ELSE w.booking_code END AS booking_code,
    CASE WHEN c.has_job THEN c.job ELSE w.job END AS job,
    CASE WHEN c.has_note THEN c.note ELSE w.note END AS note,
    CASE WHEN c.has_pay_class THEN c.pay_class ELSE w.pay_class END AS pay_class,
    CASE WHEN c.has_trade THEN c.trade ELSE w.trade END AS trade,
    CASE WHEN c.has_rework THEN c.rework ELSE w.rework END AS rework,
    CASE WHEN c.has_approved_by THEN c.approved_by ELSE w.approved_by END AS approved_by
FROM staged_written AS w
LEFT JOIN corrections AS c ON c.line_batch = w.line_batch AND c.line_row = w.line_row
ORDER BY w.place
