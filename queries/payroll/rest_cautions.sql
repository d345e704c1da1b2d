-- rest_cautions: of the days asked for, weeks above the average, days that leave less than the daily rest, stretches without a break and days worked without one free.
-- In:  $average_ms BIGINT, milliseconds a week; $rest_ms BIGINT, of a day; $unbroken_ms BIGINT, from start to finish without a break; $days_running BIGINT; $upto BIGINT, the last batch that counts
-- Out: caution VARCHAR; worker_id VARCHAR; day_from DATE; day_to DATE; ms DECIMAL(38,0), milliseconds worked in these days, or in the stretch
WITH by_day AS (
    SELECT worker_id, week, day, sum(ms) AS ms
    FROM staged_hour
    WHERE kind = 'worked' AND is_asked
    GROUP BY worker_id, week, day
    HAVING sum(ms) > 0
),

-- Of the weeks with any time: one of leave neither helps nor harms.
averaged AS (
    SELECT
        'week_average' AS caution,
        worker_id,
        min(day) AS day_from,
        max(day) AS day_to,
        sum(ms) AS ms
    FROM by_day
    GROUP BY worker_id
    HAVING sum(ms) > $average_ms::BIGINT * count(DISTINCT week)
),

clocked AS (
    SELECT
        e.worker_id,
        e.day,
        e.ms,
        coalesce(e.break_minutes, 0) AS break_minutes,
        minute_of_day(e.start_time) AS start_min,
        minute_of_day(e.finish_time) AS finish_min
    FROM plain_entry($upto) AS e
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
    SEMI JOIN by_day AS d ON d.worker_id = e.worker_id AND d.day = e.day
    WHERE e.start_time IS NOT NULL AND e.finish_time IS NOT NULL
),

timed AS (
    SELECT * REPLACE (finish_min + CASE WHEN finish_min <= start_min THEN 1440 ELSE 0 END AS finish_min)
    FROM clocked
    WHERE start_min < 1440
),

spans AS (
    SELECT
        worker_id,
        day,
        day + to_minutes(min(start_min)) AS start_at,
        day + to_minutes(max(finish_min)) AS finish_at
    FROM timed
    GROUP BY worker_id, day
),

-- By the hours alone, where they are more than a day less its rest; by start and finish, where sheets have them.
rested AS (
    SELECT worker_id, day AS day_from, day AS day_to
    FROM by_day
    WHERE ms > 86400000 - $rest_ms::BIGINT
    UNION
    SELECT worker_id, before_day AS day_from, day AS day_to
    FROM (
        SELECT
            worker_id,
            day,
            start_at,
            lag(day) OVER following AS before_day,
            lag(finish_at) OVER following AS before_at
        FROM spans
        WINDOW following AS (PARTITION BY worker_id ORDER BY day)
    )
    WHERE date_diff('millisecond', before_at, start_at) < $rest_ms::BIGINT
),

runs AS (
    SELECT worker_id, min(day) AS day_from, max(day) AS day_to
    FROM (
        SELECT worker_id, day, day - row_number() OVER (PARTITION BY worker_id ORDER BY day)::INTEGER AS begun
        FROM by_day
    )
    GROUP BY worker_id, begun
    HAVING count(*) >= $days_running::BIGINT
),

found AS (
    SELECT caution, worker_id, day_from, day_to, ms FROM averaged
    UNION ALL
    SELECT 'daily_rest' AS caution, r.worker_id, r.day_from, r.day_to, sum(d.ms) AS ms
    FROM rested AS r
    INNER JOIN by_day AS d ON d.worker_id = r.worker_id AND d.day BETWEEN r.day_from AND r.day_to
    GROUP BY r.worker_id, r.day_from, r.day_to
    UNION ALL
    SELECT 'break' AS caution, worker_id, day AS day_from, day AS day_to, max(ms) AS ms
    FROM timed
    WHERE break_minutes = 0 AND (finish_min - start_min) * 60000 > $unbroken_ms::BIGINT
    GROUP BY worker_id, day
    UNION ALL
    SELECT 'weekly_rest' AS caution, r.worker_id, r.day_from, r.day_to, sum(d.ms) AS ms
    FROM runs AS r
    INNER JOIN by_day AS d ON d.worker_id = r.worker_id AND d.day BETWEEN r.day_from AND r.day_to
    GROUP BY r.worker_id, r.day_from, r.day_to
)

SELECT caution, worker_id, day_from, day_to, sum(ms)::DECIMAL(38,0) AS ms
FROM found
GROUP BY caution, worker_id, day_from, day_to
ORDER BY caution, worker_id, day_from, day_to
