-- tables_made: the book's tables and triggers, each with its text.
-- In:  none
-- Out: kind VARCHAR, table or trigger; name VARCHAR; text VARCHAR
-- Functions are named whole, as a macro of the book could take their place.
SELECT 'trigger' AS kind, trigger_name AS name, sql AS text
FROM system.main.duckdb_triggers()
WHERE database_name = system.main.current_database() AND schema_name = 'main'
UNION ALL
SELECT 'table' AS kind, table_name AS name, sql AS text
FROM system.main.duckdb_tables()
WHERE
    database_name = system.main.current_database()
    AND schema_name = 'main'
    AND NOT temporary
    AND NOT internal
ORDER BY kind, name, text
