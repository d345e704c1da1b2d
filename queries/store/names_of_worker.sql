-- names_of_worker: the ids of all names that were recorded of a worker and stand.
-- In:  $worker VARCHAR; $upto BIGINT, the last batch that counts
-- Out: id VARCHAR
SELECT 'worker_name:' || batch || '.' || row AS id
FROM stored_worker_name($upto)
WHERE worker_id = $worker AND name IS NOT NULL
ORDER BY batch, row
