-- attendance_of_batch: the workers and days of which a batch added clocked times.
-- In:  $batch BIGINT; $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; day DATE
SELECT DISTINCT worker_id, day
FROM known_attendance($upto)
WHERE batch = $batch
ORDER BY worker_id, day
