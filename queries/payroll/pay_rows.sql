-- pay_rows: hours paid beside hours booked, by worker or supplier, period and kind, with what of their difference notes explain.
-- In:  $from DATE; $to DATE, in which periods end that are asked for; $week_start BIGINT, 0 for Monday; $upto BIGINT, the last batch that counts
-- Out: number BIGINT; worker_id VARCHAR; firm VARCHAR; supplier VARCHAR; against VARCHAR; period_start DATE; period_end DATE; kind VARCHAR; paid_ms BIGINT, milliseconds; booked_ms BIGINT; noted_ms BIGINT; rest_ms BIGINT, paid less booked less noted; paid_in BIGINT, the batch in which anything was paid of the period, null if nothing was; late_ms BIGINT, booked after it; first_ms BIGINT, booked in the week that begins in the period before; last_ms BIGINT, in that which ends in the next; days_booked BIGINT, Mondays to Fridays; is_asked BOOLEAN
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

booked AS (
    SELECT
        p.party AS worker_id,
        d.against,
        CASE WHEN p.party IS NULL THEN p.firm END AS of_firm,
        d.firm,
        d.supplier,
        p.period_start,
        p.period_end,
        d.kind,
        d.day,
        d.batch,
        d.ms
    FROM staged_pay_day AS d
    INNER JOIN staged_pay_placed AS p
        ON p.worker_id = d.worker_id AND p.day = d.day AND p.kind = d.kind AND p.against = d.against
),

contract AS (
    SELECT p.party AS worker_id, p.period_start, p.period_end, sum(c.ms)::BIGINT AS ms
    FROM staged_pay_contract AS c
    INNER JOIN staged_pay_placed AS p
        ON p.worker_id = c.worker_id AND p.day = c.day AND p.kind = 'worked' AND p.against = 'contract'
    GROUP BY ALL
),

-- A salary is paid for the hours of the contract, absence that is booked among them.
away AS (
    SELECT b.worker_id, b.period_start, b.period_end, sum(b.ms)::BIGINT AS ms
    FROM booked AS b
    WHERE b.against = 'contract' AND b.kind = 'paid_not_worked'
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
    SELECT worker_id, against, of_firm, firm, supplier, period_start, period_end, kind, paid_ms, 0 AS booked_ms, NULL AS day, NULL AS batch
    FROM paid
    UNION ALL
    SELECT worker_id, against, of_firm, firm, supplier, period_start, period_end, kind, 0 AS paid_ms, ms AS booked_ms, day, batch
    FROM booked
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
        coalesce(sum(s.booked_ms) FILTER (
            WHERE week_begun(s.period_start, $week_start::BIGINT) < s.period_start
                AND s.day < week_begun(s.period_start, $week_start::BIGINT) + 7
        ), 0)::BIGINT AS first_ms,
        coalesce(sum(s.booked_ms) FILTER (
            WHERE week_begun(s.period_end + 1, $week_start::BIGINT) <= s.period_end
                AND s.day >= week_begun(s.period_end + 1, $week_start::BIGINT)
        ), 0)::BIGINT AS last_ms
    FROM both_sides AS s
    LEFT JOIN paid_by AS p
        ON p.worker_id IS NOT DISTINCT FROM s.worker_id
        AND p.of_firm IS NOT DISTINCT FROM s.of_firm
        AND p.is_charged = (s.against = 'supplier')
        AND p.period_start = s.period_start
        AND p.period_end = s.period_end
    GROUP BY ALL
    HAVING sum(s.paid_ms) <> 0 OR sum(s.booked_ms) <> 0
),

-- Of all kinds together: a day of leave is no day without a sheet.
days AS (
    SELECT worker_id, period_start, period_end, count(DISTINCT day) FILTER (WHERE isodow(day) <= 5) AS days_booked
    FROM booked
    WHERE ms > 0 AND worker_id IS NOT NULL
    GROUP BY ALL
),

noted AS (
    SELECT s.worker_id, s.of_firm, s.against, s.period_start, s.period_end, s.kind, sum(n.ms)::BIGINT AS ms
    FROM summed AS s
    INNER JOIN current_payroll_note($upto) AS n
        ON n.worker_id IS NOT DISTINCT FROM s.worker_id
        AND word_of(trim(n.supplier)) IS NOT DISTINCT FROM s.of_firm
        AND n.kind = s.kind
        AND n.period_start >= s.period_start
        AND n.period_end <= s.period_end
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
    coalesce(n.ms, 0)::BIGINT AS noted_ms,
    (s.paid_ms - s.booked_ms - coalesce(n.ms, 0))::BIGINT AS rest_ms,
    s.paid_in,
    s.late_ms,
    s.first_ms,
    s.last_ms,
    coalesce(d.days_booked, 0) AS days_booked,
    s.period_end BETWEEN $from::DATE AND $to::DATE AS is_asked
FROM summed AS s
LEFT JOIN noted AS n
    ON n.worker_id IS NOT DISTINCT FROM s.worker_id
    AND n.of_firm IS NOT DISTINCT FROM s.of_firm
    AND n.against = s.against
    AND n.period_start = s.period_start
    AND n.period_end = s.period_end
    AND n.kind = s.kind
LEFT JOIN days AS d
    ON d.worker_id = s.worker_id AND d.period_start = s.period_start AND d.period_end = s.period_end
ORDER BY number
