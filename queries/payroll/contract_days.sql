-- contract_days: hours of the contract of whom is paid a salary, for each Monday to Friday on which they are active.
-- In:  $from DATE; $to DATE, inclusive; $first DATE; $last DATE, of the periods that may be asked for
-- Out: worker_id VARCHAR; day DATE; ms BIGINT, milliseconds; five days of a week make its hours exactly
WITH listed AS (
    SELECT unnest(generate_series($first::DATE, $last::DATE, INTERVAL 1 DAY))::DATE AS day
)

SELECT
    c.worker_id,
    d.day,
    c.contract_ms * isodow(d.day) // 5 - c.contract_ms * (isodow(d.day) - 1) // 5 AS ms
FROM listed AS d
INNER JOIN staged_pay_crew AS c
    ON c.day_from <= d.day AND c.day_before > d.day AND coalesce(c.active_to, d.day) >= d.day
WHERE c.contract_ms IS NOT NULL
    AND isodow(d.day) <= 5
    AND (
        d.day BETWEEN $from::DATE AND $to::DATE
        OR EXISTS (
            SELECT 1 FROM staged_pay_span AS s
            WHERE d.day BETWEEN s.period_start AND s.period_end AND s.period_end BETWEEN $from::DATE AND $to::DATE
        )
    )
ORDER BY c.worker_id, d.day
