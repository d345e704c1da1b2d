-- lines_new_in_place: parsed sheet lines that the book has nothing near, whose places count from 1 without a gap, with what becomes of each.
-- In:  $last_line_row BIGINT; $batch BIGINT, the batch being written
-- Out: place BIGINT, in the file; line BIGINT; is_readable BOOLEAN; of_batch BIGINT, of the line of the book that it is; of_row BIGINT; line_batch BIGINT; line_row BIGINT; outcome VARCHAR, booked, held, already_booked or already_held; reason VARCHAR; message VARCHAR; sheet VARCHAR; worker_id VARCHAR; day DATE; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR
SELECT
    l.place,
    l.line,
    l.reason IS NULL AS is_readable,
    NULL::BIGINT AS of_batch,
    NULL::BIGINT AS of_row,
    $batch::BIGINT AS line_batch,
    $last_line_row::BIGINT + l.place // 20000 AS line_row,
    CASE WHEN l.reason IS NULL THEN 'booked' ELSE 'held' END AS outcome,
    l.reason,
    l.message,
    l.sheet,
    l.worker_id,
    l.day,
    l.ms,
    l.start_time,
    l.finish_time,
    l.break_minutes,
    l.booking_code,
    l.job_given,
    l.note,
    l.pay_class,
    l.trade,
    l.rework,
    l.approved_by
FROM staged_parsed AS l
ORDER BY l.place
