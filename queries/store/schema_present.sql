-- schema_present: the book's tables, macros and refusal triggers, each with its text.
-- In:  none
-- Out: kind VARCHAR, table, macro or trigger; name VARCHAR; text VARCHAR
SELECT 'trigger' AS kind, trigger_name AS name, sql AS text
FROM duckdb_triggers()
UNION ALL
SELECT 'macro' AS kind, function_name AS name, macro_definition AS text
FROM duckdb_functions()
WHERE NOT internal AND function_type IN ('macro', 'table_macro')
UNION ALL
SELECT 'table' AS kind, table_name AS name, sql AS text
FROM duckdb_tables()
WHERE NOT temporary AND NOT internal
ORDER BY kind, name
