-- postings_first: the postings of entries that have none yet, numbered.
-- In:  $after BIGINT, the row last given out
-- Out: row BIGINT; entry_batch BIGINT; entry_row BIGINT; worker_id VARCHAR; day DATE; trade VARCHAR; pay_class VARCHAR; job VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR; ms BIGINT, milliseconds; reason VARCHAR; rule VARCHAR
SELECT
    $after::BIGINT + row_number() OVER (ORDER BY entry_batch, entry_row, booked_to, job, cause, rework) AS row,
    entry_batch,
    entry_row,
    worker_id,
    day,
    trade,
    pay_class,
    job,
    booked_to,
    cause,
    rework,
    ms,
    reason,
    rule
FROM staged_entry_placed
ORDER BY row
