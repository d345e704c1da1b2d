-- triggers_present: the names of the book's triggers.
-- In:  none
-- Out: trigger_name VARCHAR
SELECT trigger_name
FROM duckdb_triggers()
ORDER BY trigger_name
