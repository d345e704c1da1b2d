-- held_read: the held lines that name a sheet, with the worker and day that were read of each.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; reason VARCHAR; job_given VARCHAR; sheet VARCHAR; worker_id VARCHAR; day DATE; booking_code VARCHAR
SELECT r.line_batch, r.line_row, h.reason, r.job_given, r.sheet, r.worker_id, r.day, r.booking_code
FROM staged_parsed AS r
INNER JOIN staged_held AS h ON h.line_batch = r.line_batch AND h.line_row = r.line_row
WHERE r.sheet IS NOT NULL AND r.worker_id IS NOT NULL AND r.day IS NOT NULL
ORDER BY r.line_batch, r.line_row
