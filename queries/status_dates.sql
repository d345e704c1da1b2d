-- status_dates: the days of a job with an entry and with a measurement.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: day DATE; what VARCHAR, entry or measurement
SELECT DISTINCT day, 'entry' AS what
FROM known_posting($upto)
WHERE job = $job
UNION ALL
SELECT DISTINCT day, 'measurement' AS what
FROM current_progress($upto)
WHERE job = $job
ORDER BY day, what
