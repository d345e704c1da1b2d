-- sheets_expected: each worker and whole week of which a sheet is expected, and whether one is in.
-- In:  $job VARCHAR, whose calendar, null for all jobs; $status_date DATE, by which weeks have ended; $week_start BIGINT, 0 for Monday; $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; week DATE, its first day; is_in BOOLEAN
WITH working AS (
    SELECT DISTINCT d.day, d.day - ((isodow(d.day) + 6 - $week_start::BIGINT) % 7)::INTEGER AS week
    FROM current_job_day($upto) AS d
    INNER JOIN current_job($upto) AS j ON j.job = d.job
    WHERE ($job::VARCHAR IS NULL OR d.job = $job)
        AND d.day BETWEEN j.planned_start AND $status_date
),

crewed AS (
    SELECT c.worker_id, w.week, w.day, c.active_to
    FROM working AS w
    INNER JOIN current_crew($upto) AS c ON c.active_from <= w.day
    WHERE w.week + 6 <= $status_date
    QUALIFY row_number() OVER (PARTITION BY c.worker_id, w.day ORDER BY c.active_from DESC) = 1
),

expected AS (
    SELECT DISTINCT worker_id, week
    FROM crewed
    WHERE active_to IS NULL OR active_to >= day
),

handed_in AS (
    SELECT e.worker_id, e.day
    FROM known_entry($upto) AS e
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
    UNION ALL
    SELECT worker_id, day
    FROM staged_parsed
    WHERE day IS NOT NULL
),

weeks_in AS (
    SELECT DISTINCT worker_id, day - ((isodow(day) + 6 - $week_start::BIGINT) % 7)::INTEGER AS week
    FROM handed_in
)

SELECT x.worker_id, x.week, i.week IS NOT NULL AS is_in
FROM expected AS x
LEFT JOIN weeks_in AS i ON i.worker_id = x.worker_id AND i.week = x.week
ORDER BY x.week, x.worker_id
