-- notes_settled: what was settled of doubts, by whom, when and why.
-- In:  $upto BIGINT, the last batch that counts
-- Out: kind VARCHAR; about VARCHAR; settled_by VARCHAR; settled_at TIMESTAMP, UTC; reason VARCHAR
SELECT d.kind, d.about, b.actor AS settled_by, b.recorded_at AS settled_at, d.reason
FROM current_doubt_settled($upto) AS d
INNER JOIN known_batch($upto) AS b ON b.sequence = d.batch
WHERE d.settled
ORDER BY d.kind, d.about
