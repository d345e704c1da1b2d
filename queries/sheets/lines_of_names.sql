-- lines_of_names: the parsed lines, those whose name leads to nobody with the reason in words.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; place BIGINT, in the file; line BIGINT; is_total BOOLEAN; sum_key VARCHAR, what a total is of; sheet VARCHAR; worker_id VARCHAR; worker_known BOOLEAN; date_text VARCHAR; day DATE; duration_text VARCHAR; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; break_unread VARCHAR, as written; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR; date_wrong VARCHAR; hours_wrong VARCHAR; reason VARCHAR, null of a line that can be booked; message VARCHAR
SELECT p.* REPLACE (CASE WHEN p.reason = 'worker_unknown' THEN coalesce(n.message, p.message) ELSE p.message END AS message)
FROM staged_parsed AS p
LEFT JOIN (SELECT DISTINCT worker_id, message FROM staged_name_read WHERE message IS NOT NULL) AS n ON n.worker_id = p.worker_id
ORDER BY p.place
