-- postings_first: the postings of entries that have none yet, numbered.
-- In:  $after BIGINT, the row last given out
-- Out: row BIGINT; entry_batch BIGINT; entry_row BIGINT; worker_id VARCHAR; day DATE; trade VARCHAR; pay_class VARCHAR; job VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR; ms BIGINT, milliseconds; reason VARCHAR; rule VARCHAR
SELECT
    -- Of a table made in this transaction row ids do not begin at 0.
    $after::BIGINT + rowid - (SELECT min(rowid) FROM staged_entry_placed) + 1 AS row,
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
