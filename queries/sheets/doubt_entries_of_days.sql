-- doubt_entries_of_days: the entries of the workers and days that may raise a doubt.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT
SELECT e.batch, e.row
FROM entry_time($upto) AS e
SEMI JOIN (SELECT worker_id, day FROM staged_doubt_candidate) AS c ON c.worker_id = e.worker_id AND c.day = e.day
ORDER BY e.batch, e.row
