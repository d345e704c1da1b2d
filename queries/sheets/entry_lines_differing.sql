-- entry_lines_differing: of the entries read anew those that differ from what is booked.
-- In:  $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT; line_batch BIGINT; line_row BIGINT; sheet VARCHAR; worker_id VARCHAR; day DATE; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR; place BIGINT; date_text VARCHAR; duration_text VARCHAR; break_unread VARCHAR; reason VARCHAR; message VARCHAR
SELECT r.*
FROM staged_read_anew AS r
INNER JOIN known_entry($upto) AS e ON e.batch = r.entry_batch AND e.row = r.entry_row
WHERE r.reason IS NOT NULL
    OR (r.sheet, r.worker_id, r.day, r.ms, r.start_time, r.finish_time, r.break_minutes)
        IS DISTINCT FROM (e.sheet, e.worker_id, e.day, e.ms, e.start_time, e.finish_time, e.break_minutes)
    OR (r.booking_code, r.job_given, r.note, r.pay_class, r.trade, r.rework, r.approved_by)
        IS DISTINCT FROM (e.booking_code, e.job_given, e.note, e.pay_class, e.trade, e.rework, e.approved_by)
ORDER BY r.entry_batch, r.entry_row
