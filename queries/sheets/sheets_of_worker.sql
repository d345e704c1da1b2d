-- sheets_of_worker: the names of the sheets on which a worker has lines.
-- In:  $worker VARCHAR; $upto BIGINT, the last batch that counts
-- Out: sheet VARCHAR
SELECT DISTINCT sheet
FROM known_line($upto)
WHERE worker_id = $worker AND sheet IS NOT NULL
ORDER BY sheet
