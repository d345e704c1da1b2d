-- postings_not_alike: postings whose worker or day differ from their entry's.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT
SELECT p.batch, p.row
FROM stored_posting($upto) AS p
LEFT JOIN entry_time($upto) AS e ON e.batch = p.entry_batch AND e.row = p.entry_row
WHERE e.worker_id IS DISTINCT FROM p.worker_id OR e.day IS DISTINCT FROM p.day
ORDER BY p.batch, p.row
