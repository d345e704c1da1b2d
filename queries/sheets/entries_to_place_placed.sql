-- entries_to_place_placed: the entries that are placed, with what their postings repeat.
-- In:  none
-- Out: entry_batch BIGINT; entry_row BIGINT; worker_id VARCHAR; day DATE; trade VARCHAR; pay_class VARCHAR
SELECT DISTINCT entry_batch, entry_row, worker_id, day, trade, pay_class
FROM staged_entry_placed
ORDER BY entry_batch, entry_row
