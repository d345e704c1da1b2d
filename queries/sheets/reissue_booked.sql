-- reissue_booked: the lines that a confirmed re-issue books, as they read.
-- In:  $lines VARCHAR[], as batch.row; $why VARCHAR; $last_entry_row BIGINT
-- Out: line_batch BIGINT; line_row BIGINT; entry_row BIGINT; outcome VARCHAR; reason VARCHAR; message VARCHAR; sheet VARCHAR; worker_id VARCHAR; day DATE; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR
SELECT
    line_batch,
    line_row,
    $last_entry_row::BIGINT + row_number() OVER (ORDER BY line_batch, line_row) AS entry_row,
    'booked' AS outcome,
    're-issue confirmed' AS reason,
    $why::VARCHAR AS message,
    sheet,
    worker_id,
    day,
    ms,
    start_time,
    finish_time,
    break_minutes,
    booking_code,
    job_given,
    note,
    pay_class,
    trade,
    rework,
    approved_by
FROM staged_parsed
WHERE line_batch || '.' || line_row IN (SELECT unnest($lines::VARCHAR[]))
ORDER BY line_batch, line_row
