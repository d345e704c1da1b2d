-- daywork_item_numbers: the highest number that an item of each change was ever given, withdrawn ones included.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: change VARCHAR; number BIGINT
SELECT change, max(number) AS number
FROM known_daywork_item($upto)
WHERE job = $job
GROUP BY change
ORDER BY change
