-- held_read_since: the held lines that name a sheet, with those of the file judged last.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; reason VARCHAR; job_given VARCHAR; sheet VARCHAR; worker_id VARCHAR; day DATE; booking_code VARCHAR
SELECT line_batch, line_row, reason, job_given, sheet, worker_id, day, booking_code
FROM staged_held_read
UNION ALL
SELECT line_batch, line_row, reason, job_given, sheet, worker_id, day, booking_code
FROM staged_judged
WHERE outcome = 'held' AND sheet IS NOT NULL AND worker_id IS NOT NULL AND day IS NOT NULL
ORDER BY line_batch, line_row
