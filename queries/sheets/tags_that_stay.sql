-- tags_that_stay: the entries that were asked for and stay as they are.
-- In:  $state VARCHAR, closed or claimed
-- Out: entry VARCHAR, as batch.row; day DATE; worker_id VARCHAR; ms BIGINT, milliseconds
SELECT entry_batch || '.' || entry_row AS entry, day, worker_id, ms
FROM staged_tag
WHERE state = $state
ORDER BY day, entry_batch, entry_row
