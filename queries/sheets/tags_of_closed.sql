-- tags_of_closed: the entries of closed periods that were asked for and stay as they are.
-- In:  none
-- Out: entry VARCHAR, as batch.row; day DATE; worker_id VARCHAR; ms BIGINT, milliseconds
SELECT entry_batch || '.' || entry_row AS entry, day, worker_id, ms
FROM staged_tag
WHERE state = 'closed'
ORDER BY day, entry_batch, entry_row
