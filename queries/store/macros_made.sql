-- macros_made: the book's macros, each with the SELECT that it stands for.
-- In:  none
-- Out: kind VARCHAR, macro; name VARCHAR; text VARCHAR
SELECT
    'macro' AS kind,
    function_name AS name,
    CASE WHEN function_type = 'macro' THEN 'SELECT ' ELSE '' END || macro_definition AS text
FROM duckdb_functions()
WHERE NOT internal AND function_type IN ('macro', 'table_macro')
ORDER BY name
