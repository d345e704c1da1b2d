-- reversals_entered: the reversals that the batch being written has entered after a row, with scope and reason.
-- In:  $batch BIGINT; $after BIGINT, the last row before them; $scope VARCHAR, what they are part of; $reason VARCHAR; $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT; scope VARCHAR; reason VARCHAR
SELECT batch AS entry_batch, row AS entry_row, $scope::VARCHAR AS scope, $reason::VARCHAR AS reason
FROM stored_entry($upto)
WHERE batch = $batch AND row > $after AND reverses_batch IS NOT NULL
ORDER BY entry_row
