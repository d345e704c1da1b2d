-- entries_replaced: the entries that a correction took back: no reading of their lines any more.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT
SELECT r.reverses_batch AS batch, r.reverses_row AS row
FROM stored_entry($upto) AS r
INNER JOIN known_reversal($upto) AS v ON v.entry_batch = r.batch AND v.entry_row = r.row
WHERE v.scope = 'correction'
ORDER BY batch, row
