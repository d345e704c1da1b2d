-- doubt_candidates: the days of workers, and the days of places, that may raise a doubt of a kind: all that do, and few more.
-- In:  $kinds VARCHAR[], those that are on; $limit_ms BIGINT, milliseconds a day; $early_days BIGINT; $batch BIGINT, those it has an entry of, null for all; $upto BIGINT, the last batch that counts
-- Out: kind VARCHAR; worker_id VARCHAR, null of a place; day DATE, null of a whole file or of the clock; job VARCHAR; booked_to VARCHAR, null of any place of the job; is_one_enough BOOLEAN, one entry of the batch does, as only the day is counted
WITH away AS (
    SELECT DISTINCT worker_id, day
    FROM known_posting($upto)
    WHERE booked_to = 'absence'
),

-- What the sums of a day tell alone, all kinds in one pass: planning one for each takes longest.
by_sums AS (
    SELECT
        worker_id,
        day,
        [
            CASE WHEN is_of_batch AND ms > $limit_ms::BIGINT THEN 'daily_limit' END,
            CASE WHEN is_of_batch AND least_ms = 0 THEN 'no_time' END,
            CASE WHEN is_of_batch AND is_equal_work AND on_two_sheets THEN 'double_entry' END,
            CASE WHEN is_of_batch AND is_equal_line THEN 'same_line_twice' END,
            CASE WHEN is_of_batch AND has_rework THEN 'rework_cause' END,
            CASE WHEN is_of_batch AND names_change THEN 'note_names_change' END,
            CASE WHEN is_of_batch AND is_apart THEN 'hours_and_times' END,
            CASE WHEN is_apart THEN 'clock_rounding' END,
            CASE WHEN is_of_batch AND is_past_midnight THEN 'past_midnight' END,
            CASE WHEN is_of_batch AND is_timed_twice THEN 'clock_overlap' END
        ] AS kinds
    FROM staged_doubt_day
),

by_worker AS (
    SELECT unnest(kinds) AS kind, worker_id, day
    FROM by_sums
    UNION ALL
    -- What passes midnight may overlap with the next day, of which the batch may have either.
    SELECT 'clock_overlap' AS kind, d.worker_id, unnest([d.day, d.day + 1]) AS day
    FROM staged_doubt_day AS d
    SEMI JOIN (SELECT worker_id, unnest([day - 1, day]) AS day FROM staged_doubt_day WHERE is_of_batch) AS o
        ON o.worker_id = d.worker_id AND o.day = d.day
    WHERE d.is_past_midnight
    UNION ALL
    SELECT 'future_date' AS kind, d.worker_id, d.day
    FROM staged_doubt_day AS d
    INNER JOIN known_batch($upto) AS b ON b.sequence = d.first_batch
    WHERE d.is_of_batch AND d.day > (b.recorded_at + to_hours(14))::DATE
    UNION ALL
    SELECT 'work_and_absence' AS kind, d.worker_id, d.day
    FROM staged_doubt_day AS d
    SEMI JOIN away AS a ON a.worker_id = d.worker_id AND a.day = d.day
    WHERE d.is_of_batch AND d.entries > 1
    UNION ALL
    SELECT DISTINCT 'paid_leave' AS kind, d.worker_id, d.day
    FROM staged_doubt_day AS d
    INNER JOIN staged_doubt_leave AS l
        ON l.worker_id = d.worker_id AND d.day BETWEEN l.period_start AND l.period_end
    WHERE d.is_of_batch
    UNION ALL
    SELECT 'outside_crew_dates' AS kind, d.worker_id, d.day
    FROM staged_doubt_day AS d
    ANTI JOIN staged_crew_known AS c
        ON c.worker_id = d.worker_id AND c.active_from <= d.day AND coalesce(c.active_to, d.day) >= d.day
    WHERE d.is_of_batch
    UNION ALL
    SELECT 'trade_not_planned' AS kind, worker_id, day
    FROM staged_doubt_trade
    UNION ALL
    SELECT k.kind, d.worker_id, d.day
    FROM staged_doubt_day AS d
    SEMI JOIN staged_doubt_clock AS c ON c.worker_id = d.worker_id
    CROSS JOIN (SELECT unnest(['attendance', 'clock_rounding']) AS kind) AS k
    UNION ALL
    SELECT 'tags_disagree' AS kind, worker_id, day
    FROM staged_doubt_tagged
    UNION ALL
    SELECT 'attendance' AS kind, NULL AS worker_id, NULL AS day
    WHERE $batch::BIGINT IS NULL AND EXISTS (SELECT 1 FROM staged_doubt_clock)
),

calendar AS (
    SELECT job, min(day) AS first_day, max(day) AS last_day
    FROM staged_doubt_job_day
    GROUP BY job
),

by_place AS (
    SELECT 'day_off' AS kind, s.job, NULL AS booked_to, s.day
    FROM staged_doubt_spot AS s
    INNER JOIN calendar AS c ON c.job = s.job AND s.day BETWEEN c.first_day AND c.last_day
    ANTI JOIN staged_doubt_job_day AS d ON d.job = s.job AND d.day = s.day
    UNION ALL
    SELECT 'outside_job_dates' AS kind, s.job, NULL AS booked_to, s.day
    FROM staged_doubt_spot AS s
    INNER JOIN staged_doubt_job AS j ON j.job = s.job
    WHERE s.day NOT BETWEEN j.planned_start AND j.planned_finish
    UNION ALL
    SELECT 'change_closed' AS kind, s.job, s.booked_to, s.day
    FROM staged_doubt_spot AS s
    SEMI JOIN staged_doubt_closed AS c ON c.job = s.job AND c.change = s.booked_to AND c.closed_on < s.day
    WHERE NOT s.is_rework
    UNION ALL
    SELECT 'before_request' AS kind, s.job, s.booked_to, s.day
    FROM staged_doubt_spot AS s
    SEMI JOIN staged_doubt_requested AS c ON c.job = s.job AND c.change = s.booked_to AND s.day < c.requested_on
    UNION ALL
    -- What is before the job's own planned start is outside its dates, and said so.
    SELECT 'before_opening' AS kind, s.job, s.booked_to, s.day
    FROM staged_doubt_spot AS s
    SEMI JOIN staged_doubt_planned AS p
        ON p.job = s.job AND p.place = s.booked_to AND s.day + $early_days::INTEGER < p.opens_on
    SEMI JOIN staged_doubt_job AS j ON j.job = s.job AND j.planned_start <= s.day
    UNION ALL
    SELECT 'package_finished' AS kind, s.job, s.booked_to, s.day
    FROM staged_doubt_spot AS s
    SEMI JOIN staged_doubt_finished AS f
        ON f.job = s.job AND f.work_package = s.booked_to AND f.finished_on < s.day
    WHERE NOT s.is_rework
),

found AS (
    SELECT kind, worker_id, day, NULL::VARCHAR AS job, NULL::VARCHAR AS booked_to, false AS is_one_enough
    FROM by_worker
    UNION ALL
    SELECT DISTINCT
        kind,
        NULL::VARCHAR AS worker_id,
        day,
        job,
        booked_to,
        $batch::BIGINT IS NOT NULL AND kind IN ('day_off', 'outside_job_dates')
            AND kind NOT IN (SELECT kind FROM staged_doubt_kind_settled) AS is_one_enough
    FROM by_place
    UNION ALL
    SELECT
        'far_date' AS kind,
        NULL::VARCHAR AS worker_id,
        NULL::DATE AS day,
        NULL::VARCHAR AS job,
        NULL::VARCHAR AS booked_to,
        false AS is_one_enough
    WHERE EXISTS (SELECT 1 FROM staged_doubt_far)
)

SELECT kind, worker_id, day, job, booked_to, is_one_enough
FROM found
WHERE list_contains($kinds::VARCHAR[], kind)
ORDER BY kind, day, worker_id, job, booked_to
