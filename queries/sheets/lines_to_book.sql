-- lines_to_book: the judged lines that become entries.
-- In:  none
-- Out: row BIGINT; line_batch BIGINT; line_row BIGINT; sheet VARCHAR; worker_id VARCHAR; day DATE; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR
SELECT
    entry_row AS row,
    line_batch,
    line_row,
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
FROM staged_judged
WHERE outcome = 'booked'
ORDER BY entry_row
