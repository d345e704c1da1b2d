-- person_last: the number of the handle that was minted last, 0 before the first.
-- In:  $upto BIGINT, the last batch that counts
-- Out: number BIGINT
SELECT coalesce(max(TRY_CAST(handle[2:] AS BIGINT)), 0) AS number
FROM stored_person_name($upto)
ORDER BY number
