-- last_number: the highest number given out in a series.
-- In:  $series VARCHAR; $upto BIGINT, the last batch that counts
-- Out: number BIGINT, 0 before the first
SELECT coalesce(max(number), 0) AS number
FROM known_document($upto)
WHERE series = $series
ORDER BY number
