-- batch_seals: what a batch sealed of each table.
-- In:  $sequence BIGINT
-- Out: table_name VARCHAR; seal_version BIGINT; row_count BIGINT; root VARCHAR
SELECT table_name, seal_version, row_count, root
FROM known_batch_table($sequence)
WHERE sequence = $sequence
ORDER BY table_name
