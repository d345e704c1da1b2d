-- tables_withdrawn: the tables of which a batch withdraws facts.
-- In:  $batch BIGINT; $upto BIGINT, the last batch that counts
-- Out: table_name VARCHAR
SELECT DISTINCT table_name
FROM known_withdrawal($upto)
WHERE batch = $batch
ORDER BY table_name
