-- differences_staged: the staged differences, to be posted.
-- In:  none
-- Out: entry_batch BIGINT; entry_row BIGINT; worker_id VARCHAR; day DATE; trade VARCHAR; pay_class VARCHAR; job VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR; ms BIGINT, milliseconds; reason VARCHAR; rule VARCHAR
SELECT entry_batch, entry_row, worker_id, day, trade, pay_class, job, booked_to, cause, rework, ms, reason, rule
FROM staged_difference
ORDER BY day, entry_batch, entry_row, ms, booked_to, job, cause, rework
