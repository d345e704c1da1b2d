-- actual_by_part: time booked in a job by place, cause, rework, trade worked and day or period, with its cost.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $every VARCHAR, day, week or month; $week_start BIGINT, 0 for Monday; $workers VARCHAR[], whose time, null for all of them together; $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR, null of all together; part VARCHAR; cause VARCHAR; rework VARCHAR; trade VARCHAR, null of a worker who is not in the crew; day DATE, of a period its last; ms DECIMAL(38,0), milliseconds; cost DECIMAL(38,0), ms x 1/10000; unrated_ms DECIMAL(38,0), ms without a rate; unrated_worker VARCHAR
-- Between two days on which a row of the crew or a rate begins, a worker's trade and rate stay as
-- they are: they are looked up once for each such span.
WITH span AS (
    SELECT DISTINCT begins
    FROM (
        SELECT active_from AS begins FROM current_crew($upto)
        UNION ALL
        SELECT effective_from FROM current_rate($upto)
        UNION ALL
        SELECT DATE '0001-01-01'
    )
),

day_worked AS (
    SELECT d.day, max(s.begins) AS begins
    FROM (
        SELECT DISTINCT day FROM known_posting($upto) WHERE job = $job AND day <= $status_date
    ) AS d
    INNER JOIN span AS s ON s.begins <= d.day
    GROUP BY d.day
),

booked AS (
    SELECT
        p.booked_to,
        p.cause,
        p.rework,
        p.worker_id,
        d.begins,
        p.trade,
        period_end(p.day, $every, $week_start, $status_date) AS day,
        sum(p.ms) AS ms
    FROM known_posting($upto) AS p
    INNER JOIN day_worked AS d ON d.day = p.day
    WHERE p.job = $job AND p.day <= $status_date
        AND ($workers::VARCHAR[] IS NULL OR list_contains($workers::VARCHAR[], p.worker_id))
    GROUP BY ALL
    HAVING sum(p.ms) <> 0
),

worker_span AS (
    SELECT DISTINCT worker_id, begins, trade AS sheet_trade
    FROM booked
),

active AS (
    SELECT
        d.worker_id,
        d.begins,
        d.sheet_trade,
        coalesce(d.sheet_trade, c.trade) AS trade,
        c.grade
    FROM worker_span AS d
    LEFT JOIN current_crew($upto) AS c ON c.worker_id = d.worker_id
    QUALIFY row_number() OVER (
        PARTITION BY d.worker_id, d.begins, d.sheet_trade
        ORDER BY c.active_from <= d.begins DESC,
            CASE WHEN c.active_from <= d.begins THEN c.active_from END DESC,
            c.active_from
    ) = 1
),

rated AS (
    SELECT a.worker_id, a.begins, a.sheet_trade, a.trade, r.cost_per_hour
    FROM active AS a
    LEFT JOIN current_rate($upto) AS r
        ON r.effective_from <= a.begins
        AND (r.trade IS NULL OR r.trade = a.trade)
        AND (r.worker_id IS NULL OR r.worker_id = a.worker_id)
        AND (r.grade IS NULL OR r.grade = a.grade)
    QUALIFY row_number() OVER (
        PARTITION BY a.worker_id, a.begins, a.sheet_trade
        ORDER BY r.worker_id IS NULL, r.grade IS NULL, r.trade IS NULL, r.effective_from DESC
    ) = 1
)

SELECT
    CASE WHEN $workers::VARCHAR[] IS NOT NULL THEN b.worker_id END AS worker_id,
    b.booked_to AS part,
    b.cause,
    b.rework,
    r.trade,
    b.day,
    sum(b.ms)::DECIMAL(38,0) AS ms,
    coalesce(sum(b.ms::HUGEINT * r.cost_per_hour), 0)::DECIMAL(38,0) AS cost,
    coalesce(sum(b.ms) FILTER (WHERE r.cost_per_hour IS NULL), 0)::DECIMAL(38,0) AS unrated_ms,
    min(b.worker_id) FILTER (WHERE r.cost_per_hour IS NULL) AS unrated_worker
FROM booked AS b
INNER JOIN rated AS r
    ON r.worker_id = b.worker_id AND r.begins = b.begins AND r.sheet_trade IS NOT DISTINCT FROM b.trade
GROUP BY ALL
ORDER BY b.booked_to, r.trade, b.day, b.cause, b.rework, worker_id
