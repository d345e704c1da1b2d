-- macros_made: the book's macros, each with its parameters and its text; of one name there may be several.
-- In:  none
-- Out: kind VARCHAR, macro of one value or table_macro; name VARCHAR; parameters VARCHAR[]; text VARCHAR
-- Macros of a book take the place of functions of the engine, even of operators: of those named whole, and of comparisons, none can.
SELECT function_type AS kind, function_name AS name, parameters, macro_definition AS text
FROM system.main.duckdb_functions()
WHERE
    database_name = system.main.current_database()
    AND schema_name = 'main'
    AND NOT internal
    AND function_type IN ('macro', 'table_macro')
ORDER BY kind, name, text
