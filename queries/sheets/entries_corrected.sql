-- entries_corrected: the lines of corrected entries, to be booked as they read now.
-- In:  $why VARCHAR; $last_entry_row BIGINT
-- Out: line_batch BIGINT; line_row BIGINT; entry_row BIGINT; outcome VARCHAR; reason VARCHAR; message VARCHAR; sheet VARCHAR; worker_id VARCHAR; day DATE; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR
SELECT
    r.line_batch,
    r.line_row,
    $last_entry_row::BIGINT + row_number() OVER (ORDER BY r.entry_batch, r.entry_row) AS entry_row,
    'booked' AS outcome,
    'corrected' AS reason,
    $why::VARCHAR AS message,
    r.sheet,
    r.worker_id,
    r.day,
    r.ms,
    r.start_time,
    r.finish_time,
    r.break_minutes,
    r.booking_code,
    r.job_given,
    r.note,
    r.pay_class,
    r.trade,
    r.rework,
    r.approved_by
FROM staged_parsed AS r
ORDER BY entry_row
