-- differences_by_staying: of the differences of all entries those of entries that may move, or of those that stay.
-- In:  $stays BOOLEAN; $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT; worker_id VARCHAR; day DATE; trade VARCHAR; pay_class VARCHAR; job VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR; ms BIGINT, milliseconds; reason VARCHAR; rule VARCHAR
WITH staying AS (
    SELECT batch, row
    FROM closed_entry($upto)
    UNION
    SELECT batch, row
    FROM claimed_entry($upto)
)

SELECT d.entry_batch, d.entry_row, d.worker_id, d.day, d.trade, d.pay_class, d.job, d.booked_to, d.cause, d.rework, d.ms, d.reason, d.rule
FROM staged_difference_of_all AS d
LEFT JOIN staying AS s ON s.batch = d.entry_batch AND s.row = d.entry_row
WHERE (s.batch IS NOT NULL) = $stays::BOOLEAN
ORDER BY d.day, d.entry_batch, d.entry_row, d.ms, d.booked_to, d.job, d.cause, d.rework
