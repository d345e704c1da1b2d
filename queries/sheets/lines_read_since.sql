-- lines_read_since: the lines read to compare with, and those of the file judged last that are held.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; standing VARCHAR, held, refused, matched or booked; held_for VARCHAR; is_written BOOLEAN, so it was written; is_now BOOLEAN, so it reads now; sheet VARCHAR, folded; week DATE, of a line without a sheet; worker_id VARCHAR; date_text VARCHAR; duration VARCHAR; start_time VARCHAR; finish_time VARCHAR; break_text VARCHAR; booking_code VARCHAR; job VARCHAR; is_job_named BOOLEAN; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; sheet_name VARCHAR, as written
SELECT *
FROM staged_read_as_written
UNION ALL
SELECT
    j.line_batch,
    j.line_row,
    'held' AS standing,
    j.reason AS held_for,
    true AS is_written,
    true AS is_now,
    a.sheet,
    a.week,
    a.worker_id,
    a.date_text,
    a.duration,
    a.start_time,
    a.finish_time,
    a.break_text,
    a.booking_code,
    a.job,
    a.is_job_named,
    a.note,
    a.pay_class,
    a.trade,
    a.rework,
    a.sheet_name
FROM staged_alike AS a
INNER JOIN staged_judged AS j ON j.place = a.place
ORDER BY line_batch, line_row
