-- held_by_name: whether a line is held whose name leads to no worker of the crew, or to several.
-- In:  $upto BIGINT, the last batch that counts
-- Out: is_any BOOLEAN
SELECT count(*) > 0 AS is_any
FROM line_standing($upto) AS o
INNER JOIN known_line($upto) AS l ON l.batch = o.line_batch AND l.row = o.line_row
WHERE o.outcome = 'held' AND o.reason = 'worker_unknown' AND l.worker_id IS NULL
ORDER BY is_any
