-- batch_by_instant: the last batch recorded by an instant, 0 when there is none.
-- In:  $moment TIMESTAMP, UTC
-- Out: sequence BIGINT
SELECT coalesce(max(sequence), 0) AS sequence
FROM known_batch(9223372036854775807)
WHERE recorded_at <= $moment::TIMESTAMP
ORDER BY sequence
