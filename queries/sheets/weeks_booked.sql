-- weeks_booked: the weeks in which a batch books or moves hours.
-- In:  $batch BIGINT; $upto BIGINT, the last batch that counts
-- Out: week DATE, its first day
SELECT DISTINCT week_begun(b.day, w.first) AS week
FROM (
    SELECT day FROM entry_time($upto) WHERE batch = $batch
    UNION
    SELECT day FROM known_posting($upto) WHERE batch = $batch
) AS b
CROSS JOIN first_weekday($upto) AS w
ORDER BY week
