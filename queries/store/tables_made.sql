-- tables_made: the book's tables and refusal triggers, each with its text.
-- In:  none
-- Out: kind VARCHAR, table or trigger; name VARCHAR; text VARCHAR
SELECT 'trigger' AS kind, trigger_name AS name, sql AS text
FROM duckdb_triggers()
UNION ALL
SELECT 'table' AS kind, table_name AS name, sql AS text
FROM duckdb_tables()
WHERE NOT temporary AND NOT internal
ORDER BY kind, name
