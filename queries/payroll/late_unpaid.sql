-- late_unpaid: hours of sheets that came after the pay of their period and that no later pay made up, by day, the latest days first.
-- In:  $classes VARCHAR[]; $kinds VARCHAR[], the kind of each pay class; $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; day DATE; sheet_trade VARCHAR, null for the crew's; kind VARCHAR, worked or paid_not_worked; supplier VARCHAR, null of the yard's own; ms BIGINT, milliseconds
WITH late AS (
    SELECT
        r.number,
        r.worker_id,
        r.firm,
        r.supplier,
        r.against = 'supplier' AS is_charged,
        r.period_start,
        r.period_end,
        r.kind,
        r.paid_in,
        -sum(t.ms) AS ms
    FROM staged_pay_row AS r
    INNER JOIN staged_pay_taken AS t ON t.number = r.number
    WHERE t.reason = 'late_sheet' AND (t.is_owed OR t.is_waiting) AND r.kind IN ('worked', 'paid_not_worked')
    GROUP BY ALL
),

class AS (
    SELECT unnest($classes::VARCHAR[]) AS pay_class, unnest($kinds::VARCHAR[]) AS kind
),

-- Of all people of a supplier together, those who are its people by the crew.
of_whom AS (
    SELECT number, worker_id, period_start AS day_from, period_end AS day_to
    FROM late
    WHERE worker_id IS NOT NULL
    UNION ALL
    SELECT
        l.number,
        c.worker_id,
        greatest(l.period_start, c.day_from) AS day_from,
        least(l.period_end, c.day_before - 1) AS day_to
    FROM late AS l
    INNER JOIN staged_pay_crew AS c
        ON c.firm = l.firm AND c.day_from <= l.period_end AND c.day_before > l.period_start
    WHERE l.worker_id IS NULL
),

posted AS (
    SELECT
        l.number,
        p.worker_id,
        p.day,
        p.trade AS sheet_trade,
        l.kind,
        l.supplier,
        any_value(l.ms) AS late_ms,
        sum(p.ms) AS ms
    FROM known_posting($upto) AS p
    INNER JOIN of_whom AS w ON w.worker_id = p.worker_id AND p.day BETWEEN w.day_from AND w.day_to
    INNER JOIN late AS l ON l.number = w.number AND p.entry_batch > l.paid_in
    LEFT JOIN staged_pay_crew AS c ON c.worker_id = p.worker_id AND c.day_from <= p.day AND c.day_before > p.day
    LEFT JOIN class AS k ON k.pay_class = word_of(trim(p.pay_class))
    WHERE l.is_charged = coalesce(c.employment IN ('agency', 'subcontract'), l.is_charged)
        AND l.kind = kind_of_pay(CASE WHEN p.booked_to = 'absence' THEN 'absence' END, k.kind)
    GROUP BY ALL
    HAVING sum(p.ms) > 0
),

numbered AS (
    SELECT *, sum(ms) OVER (PARTITION BY number ORDER BY day DESC, worker_id, sheet_trade) AS upto_ms
    FROM posted
)

SELECT
    worker_id,
    day,
    sheet_trade,
    kind,
    supplier,
    (least(upto_ms, late_ms) - (upto_ms - ms))::BIGINT AS ms
FROM numbered
WHERE upto_ms - ms < late_ms
ORDER BY worker_id, day, sheet_trade, kind
