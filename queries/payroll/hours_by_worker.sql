-- hours_by_worker: hours of each worker by week or day, with Saturdays and overtime apart.
-- In:  $by_day BOOLEAN, else by week
-- Out: worker_id VARCHAR; period_start DATE, the day or the first day of the week; worked_ms DECIMAL(38,0), milliseconds; paid_not_worked_ms DECIMAL(38,0); other_ms DECIMAL(38,0), premium and allowances; saturday_ms DECIMAL(38,0), worked on Saturdays; overtime_ms DECIMAL(38,0)
WITH listed AS (
    SELECT
        worker_id,
        CASE WHEN $by_day THEN day ELSE week END AS period_start,
        CASE WHEN kind = 'worked' THEN ms ELSE 0 END AS worked_ms,
        CASE WHEN kind = 'paid_not_worked' THEN ms ELSE 0 END AS paid_not_worked_ms,
        CASE WHEN kind NOT IN ('worked', 'paid_not_worked') THEN ms ELSE 0 END AS other_ms,
        CASE WHEN kind = 'worked' AND isodow(day) = 6 THEN ms ELSE 0 END AS saturday_ms,
        0 AS overtime_ms
    FROM staged_hour
    WHERE is_asked
    UNION ALL
    SELECT
        worker_id,
        CASE WHEN $by_day THEN day ELSE week END AS period_start,
        0 AS worked_ms,
        0 AS paid_not_worked_ms,
        0 AS other_ms,
        0 AS saturday_ms,
        ms AS overtime_ms
    FROM staged_overtime
)

SELECT
    worker_id,
    period_start,
    sum(worked_ms)::DECIMAL(38,0) AS worked_ms,
    sum(paid_not_worked_ms)::DECIMAL(38,0) AS paid_not_worked_ms,
    sum(other_ms)::DECIMAL(38,0) AS other_ms,
    sum(saturday_ms)::DECIMAL(38,0) AS saturday_ms,
    sum(overtime_ms)::DECIMAL(38,0) AS overtime_ms
FROM listed
GROUP BY worker_id, period_start
ORDER BY worker_id, period_start
