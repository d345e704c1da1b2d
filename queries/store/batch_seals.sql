-- batch_seals: what each batch sealed of each table.
-- In:  $upto BIGINT, the last batch that counts
-- Out: sequence BIGINT; table_name VARCHAR; seal_version BIGINT; row_count BIGINT; root VARCHAR
SELECT sequence, table_name, seal_version, row_count, root
FROM known_batch_table($upto)
ORDER BY sequence, table_name
