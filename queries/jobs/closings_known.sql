-- closings_known: the periods that are closed, each with what was known, when and by whom.
-- In:  $upto BIGINT, the last batch that counts
-- Out: closed_to DATE; sequence BIGINT, the last batch that counts in the period; closed_in BIGINT, the batch of the closing; recorded_at TIMESTAMP, UTC; actor VARCHAR
SELECT c.closed_to, c.sequence, c.batch AS closed_in, b.recorded_at, b.actor
FROM current_closing($upto) AS c
LEFT JOIN known_batch($upto) AS b ON b.sequence = c.batch
WHERE c.sequence IS NOT NULL
ORDER BY c.closed_to
