-- crew_hours_to_keep: what shared entries that move are split by, of the weeks in which it is not what is kept already.
-- In:  $upto BIGINT, the last batch that counts
-- Out: week DATE, its first day; job VARCHAR; booked_to VARCHAR; ms BIGINT, milliseconds
WITH moved AS (
    SELECT DISTINCT s.week
    FROM staged_difference AS d
    INNER JOIN staged_entry_shared AS s USING (entry_batch, entry_row)
),

kept AS (
    SELECT week, job, booked_to, ms
    FROM current_crew_hours($upto)
    SEMI JOIN moved USING (week)
),

now AS (
    SELECT week, job, booked_to, ms
    FROM staged_crew_hours
    SEMI JOIN moved USING (week)
),

differing AS (
    SELECT week FROM (FROM kept EXCEPT FROM now)
    UNION
    SELECT week FROM (FROM now EXCEPT FROM kept)
)

SELECT week, job, booked_to, ms
FROM now
SEMI JOIN differing USING (week)
ORDER BY week, job, booked_to
