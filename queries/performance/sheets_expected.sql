-- sheets_expected: each worker and whole week of which a sheet is expected, and whether one is in; days of leave expect none.
-- In:  $job VARCHAR, whose calendar, null for all jobs; $status_date DATE, by which weeks have ended; $week_start BIGINT, 0 for Monday; $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; week DATE, its first day; is_in BOOLEAN; ms DECIMAL(38,0), milliseconds on it, on all jobs; calendar_ms DECIMAL(38,0), milliseconds, 8 h a working day by its weight; is_thin BOOLEAN, under half of that and no absence
WITH working AS (
    SELECT
        d.day,
        d.day - ((isodow(d.day) + 6 - $week_start::BIGINT) % 7)::INTEGER AS week,
        max(d.weight) AS weight
    FROM current_job_day($upto) AS d
    INNER JOIN current_job($upto) AS j ON j.job = d.job
    WHERE ($job::VARCHAR IS NULL OR d.job = $job)
        AND d.day BETWEEN j.planned_start AND $status_date
    GROUP BY d.day
),

crewed AS (
    SELECT c.worker_id, w.week, w.day, w.weight, c.active_to
    FROM working AS w
    INNER JOIN current_crew($upto) AS c ON c.active_from <= w.day
    WHERE w.week + 6 <= $status_date
    QUALIFY row_number() OVER (PARTITION BY c.worker_id, w.day ORDER BY c.active_from DESC) = 1
),

expected AS (
    SELECT c.worker_id, c.week, sum(28800000 * c.weight) AS calendar_ms
    FROM crewed AS c
    ANTI JOIN leave_day($upto) AS l ON l.worker_id = c.worker_id AND l.day = c.day
    WHERE c.active_to IS NULL OR c.active_to >= c.day
    GROUP BY c.worker_id, c.week
),

handed_in AS (
    SELECT e.worker_id, e.day, 0 AS ms, false AS is_unread, false AS is_away
    FROM entry_time($upto) AS e
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
    UNION ALL
    SELECT worker_id, day, CASE WHEN ms <= 86400000 THEN ms END, ms IS NULL OR ms > 86400000, false
    FROM staged_parsed
    WHERE day IS NOT NULL
),

placed AS (
    SELECT worker_id, day, sum(ms) AS ms, false AS is_unread, booked_to = 'absence' AS is_away
    FROM known_posting($upto)
    GROUP BY worker_id, day, is_away
    HAVING sum(ms) <> 0
),

weeks_in AS (
    SELECT
        worker_id,
        day - ((isodow(day) + 6 - $week_start::BIGINT) % 7)::INTEGER AS week,
        coalesce(sum(ms), 0) AS ms,
        bool_or(is_unread OR is_away) AS is_excused
    FROM (FROM handed_in UNION ALL FROM placed)
    GROUP BY ALL
)

SELECT
    x.worker_id,
    x.week,
    i.week IS NOT NULL AS is_in,
    coalesce(i.ms, 0)::DECIMAL(38,0) AS ms,
    x.calendar_ms::DECIMAL(38,0) AS calendar_ms,
    i.week IS NOT NULL AND NOT i.is_excused AND i.ms * 2 < x.calendar_ms AS is_thin
FROM expected AS x
LEFT JOIN weeks_in AS i ON i.worker_id = x.worker_id AND i.week = x.week
ORDER BY x.week, x.worker_id
