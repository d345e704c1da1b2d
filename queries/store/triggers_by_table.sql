-- triggers_by_table: the book's triggers and the tables they are on.
-- In:  none
-- Out: trigger_name VARCHAR; table_name VARCHAR
SELECT trigger_name, table_name
FROM duckdb_triggers()
ORDER BY trigger_name
