-- entries_unshared: the entries placed that are not shared out by what the crew booked.
-- In:  none
-- Out: entry_batch BIGINT; entry_row BIGINT; worker_id VARCHAR; day DATE; trade VARCHAR; pay_class VARCHAR; job VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR; ms BIGINT, milliseconds; reason VARCHAR; rule VARCHAR
SELECT entry_batch, entry_row, worker_id, day, trade, pay_class, job, booked_to, cause, rework, ms, reason, rule
FROM staged_entry_placed
WHERE NOT is_shared
ORDER BY entry_batch, entry_row, booked_to, job, cause, rework
