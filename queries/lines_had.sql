-- lines_had: the lines of the book that those of a file may be: entries of their workers and days, and lines read to compare with.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; standing VARCHAR, stands or reversed of an entry; held, refused, matched or booked of a line as read; held_for VARCHAR; is_written BOOLEAN, so it was written; is_now BOOLEAN, so it reads now; sheet VARCHAR, folded; week DATE, of a line without a sheet; worker_id VARCHAR; date_text VARCHAR; duration VARCHAR; start_time VARCHAR; finish_time VARCHAR; break_text VARCHAR; booking_code VARCHAR; job VARCHAR; is_job_named BOOLEAN; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; sheet_name VARCHAR, as written
WITH worker_days AS (
    SELECT DISTINCT worker_id, day
    FROM staged_parsed
    WHERE worker_id IS NOT NULL AND day IS NOT NULL
),

corrected AS (
    SELECT DISTINCT line_batch, line_row
    FROM known_line_correction($upto)
),

booked AS (
    SELECT e.*, f.batch IS NULL AS stands, c.line_batch IS NULL AS is_as_written
    FROM known_entry($upto) AS e
    SEMI JOIN worker_days AS d ON d.worker_id = e.worker_id AND d.day = e.day
    LEFT JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
    LEFT JOIN corrected AS c ON c.line_batch = e.line_batch AND c.line_row = e.line_row
    WHERE e.reverses_batch IS NULL
),

had AS (
    SELECT
        b.line_batch,
        b.line_row,
        CASE WHEN b.stands THEN 'stands' ELSE 'reversed' END AS standing,
        NULL::VARCHAR AS held_for,
        b.is_as_written AS is_written,
        true AS is_now,
        sheet_alike(b.sheet) AS sheet,
        CASE WHEN b.sheet IS NULL THEN week_begun(b.day, w.first) END AS week,
        b.worker_id,
        b.day::VARCHAR AS date_text,
        b.ms::VARCHAR AS duration,
        b.start_time,
        b.finish_time,
        coalesce(b.break_minutes, 0)::VARCHAR AS break_text,
        b.booking_code,
        CASE WHEN NOT coalesce(c.is_of_no_job, false) THEN coalesce(b.job_given, c.job) END AS job,
        b.job_given IS NOT NULL AS is_job_named,
        nfc_normalize(b.note) AS note,
        b.pay_class,
        b.trade,
        b.rework,
        b.sheet AS sheet_name
    FROM booked AS b
    CROSS JOIN first_weekday($upto) AS w
    LEFT JOIN staged_job_by_code AS c ON c.code = b.booking_code
    UNION ALL
    SELECT *
    FROM staged_read_as_written
    UNION ALL
    SELECT *
    FROM staged_read_as_corrected
)

SELECT h.*
FROM had AS h
ANTI JOIN line_taken_out($upto) AS o ON o.line_batch = h.line_batch AND o.line_row = h.line_row
ORDER BY h.line_batch, h.line_row
