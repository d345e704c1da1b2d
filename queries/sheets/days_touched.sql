-- days_touched: the worker-days of lines that are read, and of all that the book has beside the known parts.
-- In:  $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; day DATE
SELECT worker_id, day
FROM staged_parsed
WHERE worker_id IS NOT NULL AND day IS NOT NULL
UNION
SELECT worker_id, day
FROM staged_line_flagged
WHERE NOT is_known AND worker_id IS NOT NULL AND day IS NOT NULL
UNION
SELECT worker_id, day
FROM stored_entry($upto)
ORDER BY worker_id, day
