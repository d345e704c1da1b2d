-- pay_rows: hours paid beside hours booked, by worker or supplier, period and kind, with what of their difference notes explain.
-- In:  $from DATE; $to DATE, in which periods end that are asked for; $upto BIGINT, the last batch that counts
-- Out: number BIGINT; worker_id VARCHAR; firm VARCHAR; supplier VARCHAR; against VARCHAR; period_start DATE; period_end DATE; kind VARCHAR; paid_ms BIGINT, milliseconds; booked_ms BIGINT; note_reasons VARCHAR[], null without any; note_ms BIGINT[], of each; rest_ms BIGINT, paid less booked less noted; paid_in BIGINT, the batch in which anything was paid of the period, null if nothing was; late_ms BIGINT, booked after it; due_ms BIGINT, booked on days that pay has reached; is_followed BOOLEAN, later days were paid; is_asked BOOLEAN
WITH paid_by AS (
    SELECT
        worker_id,
        CASE WHEN worker_id IS NULL THEN firm END AS of_firm,
        firm IS NOT NULL AS is_charged,
        period_start,
        period_end,
        max(paid_in) AS paid_in
    FROM staged_pay_span
    GROUP BY ALL
),

-- Up to which day the yard has paid anybody, and each supplier has charged.
reached AS (
    SELECT firm, max(period_end) AS day
    FROM staged_pay_span
    WHERE NOT is_by_contract
    GROUP BY firm
),

-- Days after the last that pay has reached wait for the next; where it reached none of their period, none does.
booked AS (
    SELECT
        p.worker_id,
        p.against,
        CASE WHEN p.worker_id IS NULL THEN p.firm END AS of_firm,
        min(p.firm) AS firm,
        min(p.supplier) AS supplier,
        p.period_start,
        p.period_end,
        p.kind,
        p.batch,
        sum(p.ms) AS ms,
        coalesce(sum(p.ms) FILTER (WHERE NOT coalesce(r.day >= p.period_start AND p.day > r.day, false)), 0) AS due_ms
    FROM staged_pay_placed AS p
    LEFT JOIN reached AS r ON r.firm IS NOT DISTINCT FROM p.firm
    WHERE NOT p.is_contract
    GROUP BY ALL
),

contract AS (
    SELECT worker_id, period_start, period_end, sum(ms) AS ms
    FROM staged_pay_placed
    WHERE is_contract
    GROUP BY ALL
),

-- A salary is paid for the hours of the contract, absence that is booked among them.
away AS (
    SELECT worker_id, period_start, period_end, sum(ms) AS ms
    FROM booked
    WHERE against = 'contract' AND kind = 'paid_not_worked'
    GROUP BY ALL
),

paid AS (
    SELECT
        worker_id,
        CASE WHEN firm IS NULL THEN 'payroll' ELSE 'supplier' END AS against,
        CASE WHEN worker_id IS NULL THEN firm END AS of_firm,
        firm,
        supplier,
        period_start,
        period_end,
        kind,
        paid_ms
    FROM staged_pay_span
    WHERE NOT is_by_contract
    UNION ALL
    SELECT
        c.worker_id,
        'contract' AS against,
        NULL AS of_firm,
        NULL AS firm,
        NULL AS supplier,
        c.period_start,
        c.period_end,
        k.kind,
        CASE k.kind
            WHEN 'worked' THEN greatest(c.ms - coalesce(a.ms, 0), 0)
            ELSE least(c.ms, coalesce(a.ms, 0))
        END AS paid_ms
    FROM contract AS c
    CROSS JOIN (SELECT unnest(['worked', 'paid_not_worked']) AS kind) AS k
    LEFT JOIN away AS a
        ON a.worker_id = c.worker_id AND a.period_start = c.period_start AND a.period_end = c.period_end
),

both_sides AS (
    SELECT *, 0 AS booked_ms, 0 AS due_ms, NULL AS batch FROM paid
    UNION ALL BY NAME
    SELECT * EXCLUDE (ms), 0 AS paid_ms, ms AS booked_ms FROM booked
),

summed AS (
    SELECT
        s.worker_id,
        s.against,
        s.of_firm,
        s.period_start,
        s.period_end,
        s.kind,
        min(s.firm) AS firm,
        min(s.supplier) AS supplier,
        sum(s.paid_ms)::BIGINT AS paid_ms,
        sum(s.booked_ms)::BIGINT AS booked_ms,
        min(p.paid_in) AS paid_in,
        coalesce(sum(s.booked_ms) FILTER (WHERE s.batch > p.paid_in), 0)::BIGINT AS late_ms,
        sum(s.due_ms)::BIGINT AS due_ms
    FROM both_sides AS s
    LEFT JOIN paid_by AS p
        ON p.worker_id IS NOT DISTINCT FROM s.worker_id
        AND p.of_firm IS NOT DISTINCT FROM s.of_firm
        AND p.is_charged = (s.against = 'supplier')
        AND p.period_start = s.period_start
        AND p.period_end = s.period_end
    GROUP BY s.worker_id, s.against, s.of_firm, s.period_start, s.period_end, s.kind
    HAVING sum(s.paid_ms) <> 0 OR sum(s.booked_ms) <> 0
),

-- A note is about one row: that of the shortest period around it, then one that differs as it says.
note_placed AS (
    SELECT s.worker_id, s.of_firm, s.against, s.period_start, s.period_end, s.kind, n.reason, n.ms
    FROM summed AS s
    INNER JOIN current_payroll_note($upto) AS n
        ON n.worker_id IS NOT DISTINCT FROM s.worker_id
        AND word_of(trim(n.supplier)) IS NOT DISTINCT FROM s.of_firm
        AND n.kind = s.kind
        AND n.period_start >= s.period_start
        AND n.period_end <= s.period_end
    QUALIFY row_number() OVER (
        PARTITION BY n.batch, n.row
        ORDER BY s.period_end - s.period_start,
            sign(s.paid_ms - s.booked_ms) = sign(n.ms) DESC,
            s.against,
            s.period_start
    ) = 1
),

noted AS (
    SELECT
        worker_id,
        of_firm,
        against,
        period_start,
        period_end,
        kind,
        list(reason ORDER BY reason, ms) AS reasons,
        list(ms ORDER BY reason, ms) AS amounts,
        sum(ms)::BIGINT AS ms
    FROM note_placed
    GROUP BY ALL
)

SELECT
    row_number() OVER (ORDER BY s.worker_id, s.supplier, s.period_start, s.period_end, s.against, s.kind) AS number,
    s.worker_id,
    s.firm,
    s.supplier,
    s.against,
    s.period_start,
    s.period_end,
    s.kind,
    s.paid_ms,
    s.booked_ms,
    n.reasons AS note_reasons,
    n.amounts AS note_ms,
    (s.paid_ms - s.booked_ms - coalesce(n.ms, 0))::BIGINT AS rest_ms,
    s.paid_in,
    s.late_ms,
    s.due_ms,
    coalesce(e.day > s.period_end, false) AS is_followed,
    s.period_end BETWEEN $from::DATE AND $to::DATE AS is_asked
FROM summed AS s
LEFT JOIN noted AS n
    ON n.worker_id IS NOT DISTINCT FROM s.worker_id
    AND n.of_firm IS NOT DISTINCT FROM s.of_firm
    AND n.against = s.against
    AND n.period_start = s.period_start
    AND n.period_end = s.period_end
    AND n.kind = s.kind
LEFT JOIN reached AS e ON e.firm IS NOT DISTINCT FROM s.firm
ORDER BY number
