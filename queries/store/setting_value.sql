-- setting_value: one setting of the yard.
-- In:  $name VARCHAR, dotted; $upto BIGINT, the last batch that counts
-- Out: value VARCHAR
SELECT value
FROM current_setting($upto)
WHERE name = $name
ORDER BY value
