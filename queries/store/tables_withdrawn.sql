-- tables_withdrawn: the tables of which facts were ever withdrawn.
-- In:  none
-- Out: table_name VARCHAR
SELECT DISTINCT table_name
FROM stored_withdrawal(9223372036854775807)
ORDER BY table_name
