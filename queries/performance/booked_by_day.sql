-- booked_by_day: all time booked by a day, of a job or of the whole yard.
-- In:  $job VARCHAR, null for the whole yard; $day DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: ms DECIMAL(38,0), milliseconds
SELECT coalesce(sum(ms), 0)::DECIMAL(38,0) AS ms
FROM known_posting($upto)
WHERE ($job::VARCHAR IS NULL OR job = $job) AND day <= $day
ORDER BY ms
