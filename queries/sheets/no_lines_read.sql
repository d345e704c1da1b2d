-- no_lines_read: no lines to compare with, for a book in which none ever waited.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; standing VARCHAR, held, refused, matched or booked; held_for VARCHAR; is_written BOOLEAN, so it was written; is_now BOOLEAN, so it reads now; sheet VARCHAR, folded; week DATE, of a line without a sheet; worker_id VARCHAR; date_text VARCHAR; duration VARCHAR; start_time VARCHAR; finish_time VARCHAR; break_text VARCHAR; booking_code VARCHAR; job VARCHAR; is_job_named BOOLEAN; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; sheet_name VARCHAR, as written
SELECT
    NULL::BIGINT AS line_batch,
    NULL::BIGINT AS line_row,
    NULL::VARCHAR AS standing,
    NULL::VARCHAR AS held_for,
    NULL::BOOLEAN AS is_written,
    NULL::BOOLEAN AS is_now,
    NULL::VARCHAR AS sheet,
    NULL::DATE AS week,
    NULL::VARCHAR AS worker_id,
    NULL::VARCHAR AS date_text,
    NULL::VARCHAR AS duration,
    NULL::VARCHAR AS start_time,
    NULL::VARCHAR AS finish_time,
    NULL::VARCHAR AS break_text,
    NULL::VARCHAR AS booking_code,
    NULL::VARCHAR AS job,
    NULL::BOOLEAN AS is_job_named,
    NULL::VARCHAR AS note,
    NULL::VARCHAR AS pay_class,
    NULL::VARCHAR AS trade,
    NULL::VARCHAR AS rework,
    NULL::VARCHAR AS sheet_name
WHERE false
ORDER BY line_batch, line_row
