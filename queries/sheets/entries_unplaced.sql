-- entries_unplaced: the entries of a batch that no posting books yet.
-- In:  $batch BIGINT; $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT
SELECT e.batch AS entry_batch, e.row AS entry_row
FROM entry_time($upto) AS e
ANTI JOIN known_posting($upto) AS p ON p.entry_batch = e.batch AND p.entry_row = e.row
WHERE e.batch = $batch
ORDER BY e.batch, e.row
