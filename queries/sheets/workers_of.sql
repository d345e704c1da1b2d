-- workers_of: worker and day of the entries named.
-- In:  $ids VARCHAR[], as batch.row; $upto BIGINT, the last batch that counts
-- Out: id VARCHAR; worker_id VARCHAR; day DATE
SELECT batch || '.' || row AS id, worker_id, day
FROM known_entry($upto)
WHERE batch || '.' || row IN (SELECT unnest($ids::VARCHAR[]))
ORDER BY id
