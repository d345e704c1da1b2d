-- tables_staged: the temporary tables of the connection.
-- In:  none
-- Out: table_name VARCHAR
SELECT table_name
FROM duckdb_tables()
WHERE temporary
ORDER BY table_name
