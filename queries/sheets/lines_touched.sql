-- lines_touched: the lines of known parts on worker-days or sheets that others touch, as they are booked.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; place BIGINT, in the file; line BIGINT; is_total BOOLEAN; sum_key VARCHAR, what a total is of; sheet VARCHAR; worker_id VARCHAR; worker_known BOOLEAN; date_text VARCHAR; day DATE; duration_text VARCHAR; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; break_unread VARCHAR, as written; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR; date_wrong VARCHAR; hours_wrong VARCHAR; reason VARCHAR, null of a line that can be booked; message VARCHAR
SELECT
    NULL::BIGINT AS line_batch,
    NULL::BIGINT AS line_row,
    ((SELECT coalesce(max(place), 0) FROM staged_parsed) // 20000 + row_number() OVER (ORDER BY c.line)) * 20000 AS place,
    c.line,
    false AS is_total,
    NULL::VARCHAR AS sum_key,
    e.sheet,
    e.worker_id,
    true AS worker_known,
    e.day::VARCHAR AS date_text,
    e.day,
    e.ms::VARCHAR AS duration_text,
    e.ms,
    e.start_time,
    e.finish_time,
    coalesce(e.break_minutes, 0) AS break_minutes,
    NULL::VARCHAR AS break_unread,
    e.booking_code,
    e.job_given,
    e.note,
    e.pay_class,
    e.trade,
    e.rework,
    e.approved_by,
    NULL::VARCHAR AS date_wrong,
    NULL::VARCHAR AS hours_wrong,
    NULL::VARCHAR AS reason,
    NULL::VARCHAR AS message
FROM known_entry($upto) AS e
INNER JOIN staged_row_touched AS c ON c.batch = e.batch AND c.row = e.row
ORDER BY place
