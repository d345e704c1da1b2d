-- tables_present: the tables that the book has.
-- In:  none
-- Out: table_name VARCHAR
SELECT table_name
FROM duckdb_tables()
WHERE NOT temporary AND NOT internal
ORDER BY table_name
