-- yard: the yard as on its letters.
-- In:  $upto BIGINT, the last batch that counts
-- Out: name VARCHAR; value VARCHAR
SELECT name, value
FROM owner_setting($upto)
ORDER BY name
