-- crew_hours_by_week: what the crew booked to packages and changes in the weeks of shared entries, these left out.
-- In:  $upto BIGINT, the last batch that counts
-- Out: week DATE, its first day; job VARCHAR; booked_to VARCHAR; ms BIGINT, milliseconds
WITH weeks AS (
    SELECT DISTINCT week
    FROM staged_entry_shared
)

SELECT k.week, p.job, p.booked_to, sum(p.ms)::BIGINT AS ms
FROM known_posting($upto) AS p
CROSS JOIN first_weekday($upto) AS w
INNER JOIN weeks AS k ON k.week = week_begun(p.day, w.first)
ANTI JOIN staged_entry_shared AS s ON s.entry_batch = p.entry_batch AND s.entry_row = p.entry_row
WHERE p.booked_to NOT IN ('non_productive', 'overhead', 'absence', 'untagged')
GROUP BY k.week, p.job, p.booked_to
HAVING sum(p.ms) > 0
ORDER BY k.week, p.job, p.booked_to
