-- status_dates: the days of a job with an entry that stands and with a measurement.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: day DATE; what VARCHAR, entry or measurement
SELECT DISTINCT p.day, 'entry' AS what
FROM known_posting($upto) AS p
ANTI JOIN fixed_entry($upto) AS f ON f.batch = p.entry_batch AND f.row = p.entry_row
WHERE p.job = $job
UNION ALL
SELECT DISTINCT day, 'measurement' AS what
FROM current_progress($upto)
WHERE job = $job
ORDER BY day, what
