-- booked_and_untagged: time of a job by a day, and how much of it is untagged.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: booked_ms DECIMAL(38,0), milliseconds; untagged_ms DECIMAL(38,0), milliseconds
SELECT
    coalesce(sum(ms), 0)::DECIMAL(38,0) AS booked_ms,
    coalesce(sum(ms) FILTER (WHERE booked_to = 'untagged'), 0)::DECIMAL(38,0) AS untagged_ms
FROM known_posting($upto)
WHERE job = $job AND day <= $status_date
ORDER BY booked_ms
