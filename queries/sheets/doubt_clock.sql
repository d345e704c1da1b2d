-- doubt_clock: the workers of whom the attendance clock has any day.
-- In:  $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR
SELECT DISTINCT worker_id
FROM current_attendance($upto)
ORDER BY worker_id
