-- reconciled: hours paid and booked, by worker or supplier, period and kind of pay, with the reasons for their difference.
-- In:  $tolerance_ms BIGINT, milliseconds that rounding explains; $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; supplier VARCHAR; period_start DATE; period_end DATE; kind VARCHAR; against VARCHAR, payroll, contract or supplier; paid_ms BIGINT, milliseconds; booked_ms BIGINT; clocked_ms BIGINT, by the attendance clock, null where it has nothing; beside_clock_ms BIGINT, booked on the days that the clock has, likewise; reasons VARCHAR[], null without any; reason_ms BIGINT[], of each, signed as paid less booked; unexplained_ms BIGINT; owed_ms BIGINT, of the reasons, signed as they are: booked and passed over by pay, or paid without a sheet; waiting_ms BIGINT, of the reasons, signed: booked and not paid yet; signed_by VARCHAR, who signed it off as it stands; signed_at TIMESTAMP, UTC; signed_reason VARCHAR, why with hours unexplained
WITH standing AS (
    SELECT
        number,
        sum(ms) FILTER (WHERE is_owed) AS owed_ms,
        sum(ms) FILTER (WHERE is_waiting) AS waiting_ms
    FROM staged_pay_taken
    WHERE is_owed OR is_waiting
    GROUP BY number
),

left_over AS (
    SELECT r.number, r.rest_ms - coalesce(sum(t.ms), 0) AS ms
    FROM staged_pay_row AS r
    LEFT JOIN staged_pay_taken AS t ON t.number = r.number
    GROUP BY r.number, r.rest_ms
    HAVING r.rest_ms <> coalesce(sum(t.ms), 0)
),

typed AS (
    SELECT number, 0 AS rank, unnest(note_reasons) AS reason, unnest(note_ms) AS ms
    FROM staged_pay_row
),

explained AS (
    SELECT number, min(rank) AS rank, reason, sum(ms)::BIGINT AS ms
    FROM (
        SELECT number, rank, reason, ms FROM typed
        UNION ALL
        SELECT number, rank, reason, ms FROM staged_pay_taken WHERE ms <> 0
        UNION ALL
        SELECT number, 12 AS rank, 'rounding' AS reason, ms FROM left_over WHERE abs(ms) <= $tolerance_ms::BIGINT
    )
    GROUP BY number, reason
    HAVING sum(ms) <> 0
),

reasoned AS (
    SELECT
        number,
        list(reason ORDER BY rank, reason) AS reasons,
        list(ms ORDER BY rank, reason) AS reason_ms,
        sum(ms)::BIGINT AS explained_ms
    FROM explained
    GROUP BY number
),

clocked AS (
    SELECT number, sum(clocked_ms)::BIGINT AS ms, sum(sheet_ms)::BIGINT AS sheet_ms
    FROM staged_pay_clocked
    GROUP BY number
)

SELECT
    r.worker_id,
    r.supplier,
    r.period_start,
    r.period_end,
    r.kind,
    r.against,
    r.paid_ms,
    r.booked_ms,
    c.ms AS clocked_ms,
    c.sheet_ms AS beside_clock_ms,
    e.reasons,
    e.reason_ms,
    (r.paid_ms - r.booked_ms - coalesce(e.explained_ms, 0))::BIGINT AS unexplained_ms,
    coalesce(o.owed_ms, 0)::BIGINT AS owed_ms,
    coalesce(o.waiting_ms, 0)::BIGINT AS waiting_ms,
    b.actor AS signed_by,
    b.recorded_at AS signed_at,
    CASE WHEN b.actor IS NOT NULL THEN s.reason END AS signed_reason
FROM staged_pay_row AS r
LEFT JOIN reasoned AS e ON e.number = r.number
LEFT JOIN clocked AS c ON c.number = r.number
LEFT JOIN standing AS o ON o.number = r.number
LEFT JOIN current_sign_off($upto) AS s
    ON s.worker_id IS NOT DISTINCT FROM r.worker_id
    AND s.supplier IS NOT DISTINCT FROM CASE WHEN r.worker_id IS NULL THEN r.supplier END
    AND s.period_start = r.period_start
    AND s.period_end = r.period_end
    AND s.kind = r.kind
    AND s.against = r.against
    AND s.paid_ms = r.paid_ms
    AND s.booked_ms = r.booked_ms
LEFT JOIN known_batch($upto) AS b ON b.sequence = s.batch
WHERE r.is_asked
ORDER BY r.number
