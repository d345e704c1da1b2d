-- names_of_worker: all names and aliases that were recorded of a worker and stand, each with its id.
-- In:  $worker VARCHAR; $upto BIGINT, the last batch that counts
-- Out: id VARCHAR; name VARCHAR
SELECT 'worker_name:' || batch || '.' || row AS id, name
FROM stored_worker_name($upto)
WHERE worker_id = $worker AND name IS NOT NULL
UNION ALL
SELECT 'worker_alias:' || batch || '.' || row AS id, alias AS name
FROM stored_worker_alias($upto)
WHERE worker_id = $worker AND alias IS NOT NULL
ORDER BY id
