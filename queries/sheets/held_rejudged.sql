-- held_rejudged: the held lines read again, with where each stands now.
-- In:  $last_entry_row BIGINT; $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; entry_row BIGINT; outcome VARCHAR; reason VARCHAR; message VARCHAR; sheet VARCHAR; worker_id VARCHAR; day DATE; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR
SELECT
    line_batch,
    line_row,
    $last_entry_row::BIGINT + row_number() OVER (ORDER BY place) AS entry_row,
    'booked' AS outcome,
    NULL::VARCHAR AS reason,
    'the worker is known now' AS message,
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
ANTI JOIN waiting_reissued_line($upto) AS i USING (line_batch, line_row)
ANTI JOIN line_questioned($upto) AS q USING (line_batch, line_row)
WHERE reason IS NULL
ORDER BY entry_row
