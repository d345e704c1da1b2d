-- batch_stamp: a batch's sequence, head and instant.
-- In:  $sequence BIGINT
-- Out: sequence BIGINT; head VARCHAR, hex; recorded_at TIMESTAMP, UTC
SELECT sequence, head, recorded_at
FROM known_batch($sequence)
WHERE sequence = $sequence
ORDER BY sequence
