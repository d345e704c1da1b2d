-- seals_without_batch: seals of batches that are not recorded.
-- In:  $last BIGINT, the newest batch that is recorded
-- Out: sequence BIGINT
SELECT sequence
FROM known_batch_table(9223372036854775807)
WHERE sequence > $last OR sequence < 1
ORDER BY sequence
