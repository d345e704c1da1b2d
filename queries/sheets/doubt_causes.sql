-- doubt_causes: the causes of rework that the yard's settings name.
-- In:  $upto BIGINT, the last batch that counts
-- Out: cause VARCHAR
SELECT DISTINCT split_part(name, '.', 2) AS cause
FROM current_setting($upto)
WHERE split_part(name, '.', 1) = 'causes'
ORDER BY cause
