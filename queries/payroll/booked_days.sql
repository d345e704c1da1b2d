-- booked_days: time booked over all jobs by worker, day, kind of pay and the batch that booked it, and what it stands against.
-- In:  $classes VARCHAR[]; $kinds VARCHAR[], the kind of each pay class; $reasons VARCHAR[], pay classes that are reasons themselves; $first DATE; $last DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; day DATE; kind VARCHAR, absence is paid and not worked, what is booked elsewhere never is; class_reason VARCHAR; batch BIGINT; ms BIGINT, milliseconds; against VARCHAR, payroll, contract or supplier; firm VARCHAR, the supplier's name as compared; supplier VARCHAR
WITH grouped AS (
    SELECT worker_id, day, booked_to = 'absence' AS is_absence, pay_class, entry_batch AS batch, sum(ms) AS ms
    FROM known_posting($upto)
    WHERE day BETWEEN $first::DATE AND $last::DATE
    GROUP BY ALL
),

named AS (
    SELECT DISTINCT pay_class AS given, word_of(trim(pay_class)) AS pay_class
    FROM grouped
    WHERE pay_class IS NOT NULL
),

class AS (
    SELECT unnest($classes::VARCHAR[]) AS pay_class, unnest($kinds::VARCHAR[]) AS kind
),

kind_of AS (
    SELECT
        n.given,
        c.kind,
        CASE WHEN list_contains($reasons::VARCHAR[], n.pay_class) THEN n.pay_class END AS class_reason
    FROM named AS n
    LEFT JOIN class AS c ON c.pay_class = n.pay_class
),

by_kind AS (
    SELECT
        g.worker_id,
        g.day,
        kind_of_pay(CASE WHEN g.is_absence THEN 'absence' END, k.kind) AS kind,
        CASE WHEN NOT g.is_absence THEN k.class_reason END AS class_reason,
        g.batch,
        sum(g.ms)::BIGINT AS ms
    FROM grouped AS g
    LEFT JOIN kind_of AS k ON k.given = g.pay_class
    GROUP BY ALL
    HAVING sum(g.ms) <> 0
),

charged AS (
    SELECT DISTINCT worker_id
    FROM staged_pay_span
    WHERE firm IS NOT NULL AND worker_id IS NOT NULL
)

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
ORDER BY b.worker_id, b.day, b.kind, b.batch, b.class_reason
