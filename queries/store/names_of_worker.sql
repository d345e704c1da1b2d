-- names_of_worker: all names that were recorded of a worker and stand, each with its id.
-- In:  $worker VARCHAR; $upto BIGINT, the last batch that counts
-- Out: id VARCHAR; name VARCHAR
SELECT 'worker_name:' || batch || '.' || row AS id, name
FROM stored_worker_name($upto)
WHERE worker_id = $worker AND name IS NOT NULL
ORDER BY batch, row
