-- held_read_so_far: the held lines that name a sheet, kept for the next file.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; reason VARCHAR; job_given VARCHAR; sheet VARCHAR; worker_id VARCHAR; day DATE; booking_code VARCHAR
SELECT line_batch, line_row, reason, job_given, sheet, worker_id, day, booking_code
FROM staged_held_since
ORDER BY line_batch, line_row
