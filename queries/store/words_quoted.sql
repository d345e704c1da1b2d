-- words_quoted: the words of SQL, which the engine writes in quotes where they are names.
-- In:  none
-- Out: word VARCHAR
SELECT keyword_name AS word
FROM system.main.duckdb_keywords()
ORDER BY word
