-- span_days: each day of what was paid of a worker, or supplier, by kind of pay.
-- In:  none
-- Out: worker_id VARCHAR, null of all people of a supplier together; firm VARCHAR; is_charged BOOLEAN, by a supplier; kind VARCHAR; period_start DATE; period_end DATE; day DATE
WITH each_day AS (
    SELECT
        worker_id,
        firm,
        firm IS NOT NULL AS is_charged,
        kind,
        period_start,
        period_end,
        period_start + unnest(range(0, period_end - period_start + 1))::INTEGER AS day
    FROM staged_pay_span
),

-- Of suppliers that charge a worker in the same days, the one of the crew, so that no day stands twice.
charged AS (
    SELECT e.*
    FROM each_day AS e
    LEFT JOIN staged_pay_crew AS c ON c.worker_id = e.worker_id AND c.day_from <= e.day AND c.day_before > e.day
    WHERE e.is_charged AND e.worker_id IS NOT NULL
    QUALIFY row_number() OVER (
        PARTITION BY e.worker_id, e.kind, e.day
        ORDER BY coalesce(e.firm = c.firm, false) DESC, e.period_start DESC, e.period_end, e.firm
    ) = 1
)

SELECT worker_id, firm, is_charged, kind, period_start, period_end, day
FROM each_day
WHERE NOT is_charged OR worker_id IS NULL
UNION ALL
SELECT worker_id, firm, is_charged, kind, period_start, period_end, day
FROM charged
ORDER BY worker_id, day, kind
