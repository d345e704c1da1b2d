-- work_begun: time booked to a package by a day, and the first day of it; no row before any.
-- In:  $job VARCHAR; $part VARCHAR; $day DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: first_day DATE; ms DECIMAL(38,0), milliseconds
WITH booked AS (
    SELECT day, sum(ms) AS ms
    FROM known_posting($upto)
    WHERE job = $job AND booked_to = $part AND day <= $day
    GROUP BY day
    HAVING sum(ms) <> 0
)

SELECT min(day) AS first_day, sum(ms)::DECIMAL(38,0) AS ms
FROM booked
HAVING count(*) > 0
ORDER BY first_day
