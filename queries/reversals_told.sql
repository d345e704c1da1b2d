-- reversals_told: the reversals that the batch being written has entered after a row, with the reason.
-- In:  $batch BIGINT; $after BIGINT, the last row before them; $reason VARCHAR; $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT; reason VARCHAR
SELECT batch AS entry_batch, row AS entry_row, $reason::VARCHAR AS reason
FROM known_entry($upto)
WHERE batch = $batch AND row > $after AND reverses_batch IS NOT NULL
ORDER BY entry_row
