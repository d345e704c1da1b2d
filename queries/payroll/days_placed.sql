-- days_placed: time booked over all jobs by worker, day, kind of pay and the batch that booked it, days of a contract and overtime that is paid as a premium, each in the period that was paid of its worker for its kind.
-- In:  $classes VARCHAR[]; $kinds VARCHAR[], the kind of each pay class; $reasons VARCHAR[], pay classes that are reasons themselves; $first DATE; $last DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; against VARCHAR, payroll, contract or supplier; firm VARCHAR, the supplier's name as compared; supplier VARCHAR; period_start DATE, null where that kind was not paid of the day; period_end DATE; kind VARCHAR, absence is paid and not worked, what is booked elsewhere never is; class_reason VARCHAR; day DATE; batch BIGINT; ms BIGINT, milliseconds; is_contract BOOLEAN, hours of a contract, not booked
WITH given AS (
    SELECT DISTINCT pay_class FROM known_posting($upto)
),

class AS (
    SELECT unnest($classes::VARCHAR[]) AS pay_class, unnest($kinds::VARCHAR[]) AS kind
),

meant AS (
    SELECT
        g.pay_class AS given,
        a.is_absence,
        kind_of_pay(CASE WHEN a.is_absence THEN 'absence' END, c.kind) AS kind,
        CASE WHEN NOT a.is_absence AND list_contains($reasons::VARCHAR[], n.named) THEN n.named END AS class_reason
    FROM given AS g
    CROSS JOIN (SELECT unnest([false, true]) AS is_absence) AS a
    CROSS JOIN LATERAL (SELECT word_of(trim(g.pay_class)) AS named) AS n
    LEFT JOIN class AS c ON c.pay_class = n.named
),

-- Days are grouped by a number, as it takes half of the time that words take.
numbered AS (
    SELECT *, dense_rank() OVER (ORDER BY kind, class_reason) AS number FROM meant
),

named AS (
    SELECT DISTINCT number, kind, class_reason FROM numbered
),

grouped AS (
    SELECT p.worker_id, p.day, k.number, p.entry_batch AS batch, sum(p.ms)::BIGINT AS ms
    FROM known_posting($upto) AS p
    INNER JOIN numbered AS k
        ON k.given IS NOT DISTINCT FROM p.pay_class AND k.is_absence = coalesce(p.booked_to = 'absence', false)
    WHERE p.day BETWEEN $first::DATE AND $last::DATE
    GROUP BY ALL
    HAVING sum(p.ms) <> 0
),

by_kind AS (
    SELECT g.worker_id, g.day, k.kind, k.class_reason, g.batch, g.ms
    FROM grouped AS g
    INNER JOIN named AS k ON k.number = g.number
),

charged AS (
    SELECT DISTINCT worker_id
    FROM staged_pay_span
    WHERE firm IS NOT NULL AND worker_id IS NOT NULL
),

booked AS (
    SELECT
        b.worker_id,
        b.day,
        b.kind,
        b.class_reason,
        b.batch,
        b.ms,
        CASE
            WHEN c.employment IN ('agency', 'subcontract') OR (c.employment IS NULL AND h.worker_id IS NOT NULL) THEN 'supplier'
            WHEN c.contract_ms IS NOT NULL AND b.kind IN ('worked', 'paid_not_worked') THEN 'contract'
            ELSE 'payroll'
        END AS against,
        c.firm,
        c.supplier
    FROM by_kind AS b
    LEFT JOIN staged_pay_crew AS c ON c.worker_id = b.worker_id AND c.day_from <= b.day AND c.day_before > b.day
    LEFT JOIN charged AS h ON h.worker_id = b.worker_id
),

listed AS (
    SELECT worker_id, against, firm, supplier, kind, class_reason, day, batch, ms, false AS is_contract
    FROM booked
    UNION ALL
    SELECT
        worker_id,
        'contract' AS against,
        NULL AS firm,
        NULL AS supplier,
        'worked' AS kind,
        NULL AS class_reason,
        day,
        NULL AS batch,
        ms,
        true AS is_contract
    FROM staged_pay_contract
    UNION ALL
    -- Overtime, where it is paid as a premium beside the hours themselves.
    SELECT
        o.worker_id,
        'payroll' AS against,
        NULL AS firm,
        NULL AS supplier,
        'premium_only' AS kind,
        NULL AS class_reason,
        o.day,
        NULL AS batch,
        o.ms::BIGINT AS ms,
        false AS is_contract
    FROM staged_overtime AS o
    LEFT JOIN staged_pay_crew AS c ON c.worker_id = o.worker_id AND c.day_from <= o.day AND c.day_before > o.day
    WHERE coalesce(c.employment, 'hourly') IN ('hourly', 'salaried')
)

SELECT
    d.worker_id,
    d.against,
    d.firm,
    d.supplier,
    s.period_start,
    s.period_end,
    d.kind,
    d.class_reason,
    d.day,
    d.batch,
    d.ms,
    d.is_contract
FROM listed AS d
LEFT JOIN staged_pay_span_day AS s
    ON s.worker_id = d.worker_id
    AND s.day = d.day
    AND s.kind = d.kind
    AND s.is_charged = (d.against = 'supplier')
ORDER BY d.worker_id, d.day, d.kind, d.against, d.batch, d.class_reason, d.is_contract
