-- newest_entry: the newest day on which time is booked, of a job or of the whole yard.
-- In:  $job VARCHAR, null for the whole yard; $upto BIGINT, the last batch that counts
-- Out: day DATE, null when there is none
SELECT max(day) AS day
FROM known_posting($upto)
WHERE $job::VARCHAR IS NULL OR job = $job
ORDER BY day
