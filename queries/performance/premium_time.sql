-- premium_time: time that overtime premium is due on, over all jobs, by place, day and trade on the sheet: above the thresholds, and in pay classes with a share of their own.
-- In:  $classes VARCHAR[]; $kinds VARCHAR[], the kind of each pay class, null where none is stated; $shares BIGINT[], of the rate in 1/10000, null where a class has none of its own; $weekly_ms BIGINT, milliseconds of a week, null for none; $daily_ms BIGINT, of a day, null for none; $leave_counts BOOLEAN, paid leave counts for the week; $share BIGINT, due above the thresholds in 1/10000, null for nothing; $by_week BOOLEAN, spread over the worker's week; $week_start BIGINT, 0 for Monday; $day DATE, inclusive; $job VARCHAR, null for all; $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; day DATE; sheet_trade VARCHAR, null for the crew's; job VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR; share BIGINT, of the rate in 1/10000, null of time that is only a premium and bears no rate besides; ms DECIMAL(38,0), milliseconds
WITH class AS (
    SELECT
        unnest($classes::VARCHAR[]) AS pay_class,
        unnest($kinds::VARCHAR[]) AS kind,
        unnest($shares::BIGINT[]) AS share
),

grouped AS (
    SELECT
        worker_id,
        week_begun(day, $week_start::BIGINT) AS week,
        day,
        trade,
        pay_class,
        job,
        booked_to,
        cause,
        rework,
        sum(ms)::HUGEINT AS ms
    FROM known_posting($upto)
    WHERE day <= $day::DATE
        AND ($job::VARCHAR IS NULL
            OR worker_id IN (SELECT p.worker_id FROM known_posting($upto) AS p WHERE p.job = $job::VARCHAR))
    GROUP BY ALL
    HAVING sum(ms) <> 0
),

folded AS (
    SELECT DISTINCT pay_class AS written, word_of(trim(pay_class)) AS pay_class
    FROM grouped
    WHERE pay_class IS NOT NULL
),

booked AS MATERIALIZED (
    SELECT
        g.* EXCLUDE (pay_class),
        kind_of_pay(CASE WHEN g.booked_to = 'absence' THEN 'absence' END, k.kind) AS kind,
        k.share
    FROM grouped AS g
    LEFT JOIN folded AS f ON f.written = g.pay_class
    LEFT JOIN class AS k ON k.pay_class = f.pay_class
),

-- Agencies and subcontractors charge their own price: nothing is due above the yard's thresholds.
own_day AS (
    SELECT d.worker_id, d.day, coalesce(c.employment, 'hourly') IN ('hourly', 'salaried') AS is_own
    FROM (SELECT DISTINCT worker_id, day FROM booked WHERE $share::BIGINT IS NOT NULL) AS d
    LEFT JOIN current_crew($upto) AS c ON c.worker_id = d.worker_id
    QUALIFY row_number() OVER (
        PARTITION BY d.worker_id, d.day
        ORDER BY c.active_from <= d.day DESC,
            CASE WHEN c.active_from <= d.day THEN c.active_from END DESC,
            c.active_from
    ) = 1
),

-- Hours that the sheet itself gives a premium are not counted for another one.
by_day AS (
    SELECT
        b.worker_id,
        b.week,
        b.day,
        greatest(
            coalesce(sum(b.ms) FILTER (WHERE b.kind = 'worked' AND b.share IS NULL), 0)
                - coalesce(sum(b.ms) FILTER (WHERE b.kind = 'premium_only' AND b.share IS NOT NULL), 0),
            0
        ) AS worked_ms,
        coalesce(sum(b.ms) FILTER (WHERE b.kind = 'paid_not_worked' AND $leave_counts), 0) AS leave_ms
    FROM booked AS b
    INNER JOIN own_day AS o ON o.worker_id = b.worker_id AND o.day = b.day AND o.is_own
    GROUP BY b.worker_id, b.week, b.day
),

-- What the week has above its thresholds by the end of each day, the larger of days and week; leave
-- that counts comes first, so that overtime is always of hours worked.
running AS (
    SELECT
        *,
        greatest(
            sum(coalesce(greatest(worked_ms - $daily_ms::BIGINT, 0), 0)) OVER so_far,
            coalesce(sum(worked_ms) OVER so_far + sum(leave_ms) OVER whole - $weekly_ms::BIGINT, 0),
            coalesce(sum(leave_ms) OVER whole - $weekly_ms::BIGINT, 0)
        ) AS upto_ms,
        greatest(coalesce(sum(leave_ms) OVER whole - $weekly_ms::BIGINT, 0), 0) AS before_ms
    FROM by_day
    WINDOW
        so_far AS (PARTITION BY worker_id, week ORDER BY day),
        whole AS (PARTITION BY worker_id, week)
),

overtime AS (
    SELECT
        worker_id,
        week,
        day,
        upto_ms - coalesce(lag(upto_ms) OVER (PARTITION BY worker_id, week ORDER BY day), before_ms) AS ms
    FROM running
),

worked_week AS (
    SELECT DISTINCT worker_id, week FROM booked WHERE kind = 'worked' AND $by_week
),

-- Premium that stands where the hours with the class stand.
in_place AS (
    SELECT b.worker_id, b.day, b.trade, b.job, b.booked_to, b.cause, b.rework, b.share, b.ms
    FROM booked AS b
    ANTI JOIN worked_week AS w ON w.worker_id = b.worker_id AND w.week = b.week
    WHERE b.share > 0 AND b.kind IN ('worked', 'premium_only')
),

-- Premium that is shared out over the hours worked on the day, or in the week.
due AS (
    SELECT worker_id, CASE WHEN $by_week THEN week ELSE day END AS begins, $share::BIGINT AS share, ms
    FROM overtime
    WHERE ms > 0
    UNION ALL
    SELECT b.worker_id, b.week, b.share, b.ms
    FROM booked AS b
    SEMI JOIN worked_week AS w ON w.worker_id = b.worker_id AND w.week = b.week
    WHERE b.share > 0 AND b.kind IN ('worked', 'premium_only')
),

due_by_share AS (
    SELECT worker_id, begins, share, sum(ms)::HUGEINT AS due_ms
    FROM due
    GROUP BY worker_id, begins, share
),

-- The hours it is shared out over; on a day, those without a premium of their own.
over_hours AS (
    SELECT
        worker_id,
        CASE WHEN $by_week THEN week ELSE day END AS begins,
        day,
        trade,
        job,
        booked_to,
        cause,
        rework,
        sum(ms)::HUGEINT AS ms
    FROM booked
    WHERE kind = 'worked' AND ($by_week OR share IS NULL)
    GROUP BY ALL
),

-- A running total is cut to whole milliseconds, so that the pieces add up to what is due.
counted AS (
    SELECT
        o.*,
        d.share,
        d.due_ms,
        (sum(o.ms) OVER so_far)::HUGEINT AS so_far_ms,
        (sum(o.ms) OVER (PARTITION BY o.worker_id, o.begins, d.share))::HUGEINT AS whole_ms
    FROM over_hours AS o
    INNER JOIN due_by_share AS d ON d.worker_id = o.worker_id AND d.begins = o.begins
    WINDOW so_far AS (
        PARTITION BY o.worker_id, o.begins, d.share
        ORDER BY o.day, o.job, o.booked_to, o.cause, o.rework, o.trade
        ROWS UNBOUNDED PRECEDING
    )
),

shared_out AS (
    SELECT
        worker_id,
        day,
        trade,
        job,
        booked_to,
        cause,
        rework,
        share,
        due_ms * so_far_ms // whole_ms - due_ms * (so_far_ms - ms) // whole_ms AS ms
    FROM counted
)

SELECT
    worker_id,
    day,
    trade AS sheet_trade,
    job,
    booked_to,
    cause,
    rework,
    share,
    sum(ms)::DECIMAL(38,0) AS ms
FROM (
    SELECT * FROM in_place
    UNION ALL
    SELECT * FROM shared_out
    UNION ALL
    SELECT worker_id, day, trade, job, booked_to, cause, rework, NULL, ms
    FROM booked
    WHERE kind = 'premium_only' AND share IS NOT NULL
)
WHERE $job::VARCHAR IS NULL OR job = $job::VARCHAR
GROUP BY ALL
HAVING sum(ms) <> 0
ORDER BY worker_id, day, job, booked_to, cause, rework, sheet_trade, share
