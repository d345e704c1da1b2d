-- hours_subtotals: hours asked for and overtime, by trade, by job or other place, and by pay class; each of these adds up to all.
-- In:  none
-- Out: part VARCHAR, trade, job or pay_class; name VARCHAR, null where none is known; ms DECIMAL(38,0), milliseconds; saturday_ms DECIMAL(38,0), worked on Saturdays; overtime_ms DECIMAL(38,0)
WITH asked AS (
    SELECT
        trade,
        place,
        pay_class,
        ms,
        CASE WHEN kind = 'worked' AND isodow(day) = 6 THEN ms ELSE 0 END AS saturday_ms,
        0 AS overtime_ms
    FROM staged_hour
    WHERE is_asked
),

-- What overtime is shared out over: hours worked; leave only where it alone is above the week's threshold.
basis AS (
    SELECT worker_id, week, day, trade, place, pay_class, ms
    FROM staged_hour
    WHERE kind IN ('worked', 'paid_not_worked')
    QUALIFY kind = 'worked' OR count_if(kind = 'worked') OVER (PARTITION BY worker_id, week) = 0
),

over_hours AS (
    SELECT
        o.worker_id,
        o.day,
        o.of_week,
        o.ms::HUGEINT AS due_ms,
        b.trade,
        b.place,
        b.pay_class,
        sum(b.ms)::HUGEINT AS ms
    FROM staged_overtime AS o
    INNER JOIN basis AS b
        ON b.worker_id = o.worker_id AND b.week = o.week AND (o.of_week OR b.day = o.day)
    GROUP BY ALL
),

-- A running total is cut to whole milliseconds, so that the pieces add up to what is due.
counted AS (
    SELECT
        *,
        (sum(ms) OVER so_far)::HUGEINT AS so_far_ms,
        (sum(ms) OVER (PARTITION BY worker_id, day, of_week))::HUGEINT AS whole_ms
    FROM over_hours
    WINDOW so_far AS (
        PARTITION BY worker_id, day, of_week
        ORDER BY place, trade, pay_class
        ROWS UNBOUNDED PRECEDING
    )
),

amount AS (
    SELECT trade, place, pay_class, ms, saturday_ms, overtime_ms FROM asked
    UNION ALL
    SELECT
        trade,
        place,
        pay_class,
        0 AS ms,
        0 AS saturday_ms,
        due_ms * so_far_ms // whole_ms - due_ms * (so_far_ms - ms) // whole_ms AS overtime_ms
    FROM counted
),

listed AS (
    SELECT 'trade' AS part, 1 AS place, trade AS name, ms, saturday_ms, overtime_ms FROM amount
    UNION ALL
    SELECT 'job' AS part, 2 AS place, place AS name, ms, saturday_ms, overtime_ms FROM amount
    UNION ALL
    SELECT 'pay_class' AS part, 3 AS place, pay_class AS name, ms, saturday_ms, overtime_ms FROM amount
)

SELECT
    part,
    name,
    sum(ms)::DECIMAL(38,0) AS ms,
    sum(saturday_ms)::DECIMAL(38,0) AS saturday_ms,
    sum(overtime_ms)::DECIMAL(38,0) AS overtime_ms
FROM listed
GROUP BY part, place, name
HAVING sum(ms) <> 0 OR sum(overtime_ms) <> 0
ORDER BY place, name
