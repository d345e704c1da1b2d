-- held_as_read: the held lines with what was read of each.
-- In:  none
-- Out: held_line VARCHAR, as batch.row; file VARCHAR; line BIGINT; reason VARCHAR; message VARCHAR; sheet VARCHAR; worker_id VARCHAR; worker_name VARCHAR; date VARCHAR; hours VARCHAR; start VARCHAR; finish VARCHAR; break_minutes VARCHAR; booking_code VARCHAR; job VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR; raw VARCHAR, as it was written
SELECT
    h.line_batch || '.' || h.line_row AS held_line,
    h.file,
    h.line,
    h.reason,
    h.message,
    r.sheet,
    r.worker_id,
    r.worker_name,
    r.date,
    r.hours,
    r.start,
    r.finish,
    r.break_minutes,
    r.booking_code,
    r.job,
    r.note,
    r.pay_class,
    r.trade,
    r.rework,
    r.approved_by,
    h.raw
FROM staged_held AS h
INNER JOIN staged_raw AS r ON r.line_batch = h.line_batch AND r.line_row = h.line_row
ORDER BY h.file, h.line, h.line_batch, h.line_row
