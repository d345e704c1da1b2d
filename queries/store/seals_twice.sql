-- seals_twice: the tables that a batch sealed more than once.
-- In:  none
-- Out: sequence BIGINT; table_name VARCHAR
SELECT sequence, table_name
FROM known_batch_table(9223372036854775807)
GROUP BY sequence, table_name
HAVING count(*) > 1
ORDER BY sequence, table_name
