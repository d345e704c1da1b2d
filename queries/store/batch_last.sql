-- batch_last: the newest batch of the book, 0 when it has none.
-- In:  none
-- Out: sequence BIGINT
SELECT coalesce(max(sequence), 0) AS sequence
FROM known_batch(9223372036854775807)
ORDER BY sequence
