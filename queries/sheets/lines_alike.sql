-- lines_alike: parsed lines by what makes two lines the same.
-- In:  none
-- Out: place BIGINT, in the file; line_batch BIGINT; line_row BIGINT; sheet VARCHAR, folded; week DATE, of a line without a sheet; worker_id VARCHAR; date_text VARCHAR; duration VARCHAR; start_time VARCHAR; finish_time VARCHAR; break_text VARCHAR; booking_code VARCHAR; job VARCHAR; is_job_named BOOLEAN; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; sheet_name VARCHAR, as written
SELECT
    p.place,
    p.line_batch,
    p.line_row,
    sheet_alike(p.sheet) AS sheet,
    CASE WHEN p.sheet IS NULL THEN week_begun(p.day, w.first) END AS week,
    p.worker_id,
    coalesce(p.day::VARCHAR, p.date_text) AS date_text,
    -- Times that are understood count as such, however they were written: 2:16 is 02:16.
    coalesce(
        p.ms::VARCHAR,
        CASE WHEN p.start_time IS NOT NULL AND p.finish_time IS NOT NULL
                AND contains(p.duration_text, '..')
            THEN concat_ws('..', p.start_time, p.finish_time, coalesce(p.break_minutes::VARCHAR, p.break_unread))
            ELSE p.duration_text
        END
    ) AS duration,
    p.start_time,
    p.finish_time,
    coalesce(p.break_unread, p.break_minutes::VARCHAR) AS break_text,
    p.booking_code,
    CASE WHEN NOT coalesce(c.is_of_no_job, false) THEN coalesce(p.job_given, c.job) END AS job,
    p.job_given IS NOT NULL AS is_job_named,
    nfc_normalize(p.note) AS note,
    p.pay_class,
    p.trade,
    p.rework,
    p.sheet AS sheet_name
FROM staged_parsed AS p
SEMI JOIN staged_wanted AS n ON n.place = p.place
CROSS JOIN staged_week_begin AS w
LEFT JOIN staged_job_by_code AS c ON c.code = p.booking_code
ORDER BY p.place
