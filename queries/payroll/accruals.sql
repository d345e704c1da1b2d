-- accruals: time booked up to a day that no pay period ended by then has, by worker, late sheets of periods paid before apart, with its cost at the rates of the day worked.
-- In:  $to DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; supplier VARCHAR, null of the yard's own; kind VARCHAR, worked or paid_not_worked; is_late BOOLEAN, came after the pay of its period, and no later one made it up; first_day DATE; last_day DATE; ms DECIMAL(38,0), milliseconds; cost DECIMAL(38,0), ms x 1/10000, null where a day has no rate; premium DECIMAL(38,0), overtime premium beside it, likewise
WITH span AS (
    SELECT worker_id, NULL::VARCHAR AS firm, period_start, period_end
    FROM current_payroll_line($upto)
    UNION
    SELECT worker_id, word_of(trim(supplier)) AS firm, period_start, period_end
    FROM current_supplier_hours($upto)
),

-- Pay before the first period that the book has is not kept here.
begun AS (
    SELECT min(period_start) AS day
    FROM span
),

booked AS (
    SELECT
        p.worker_id,
        p.day,
        p.trade AS sheet_trade,
        CASE WHEN p.booked_to = 'absence' THEN 'paid_not_worked' ELSE 'worked' END AS kind,
        sum(p.ms) AS ms
    FROM known_posting($upto) AS p
    INNER JOIN begun AS b ON p.day >= b.day
    WHERE p.day <= $to::DATE
    GROUP BY ALL
    HAVING sum(p.ms) <> 0
),

-- Whom a contract pays by the month or year has no unpaid hours.
owed AS (
    SELECT
        b.*,
        c.firm,
        c.supplier,
        CASE WHEN c.employment IS NOT NULL THEN c.employment IN ('agency', 'subcontract') END AS is_charged
    FROM booked AS b
    LEFT JOIN staged_pay_crew AS c ON c.worker_id = b.worker_id AND c.day_from <= b.day AND c.day_before > b.day
    WHERE c.contract_ms IS NULL
),

-- As in the reconciliation: of whom the crew says nothing, either pays; a supplier that charges by name need not be the crew's.
never_paid AS (
    SELECT o.*
    FROM owed AS o
    ANTI JOIN span AS s
        ON s.worker_id = o.worker_id
        AND s.period_end <= $to::DATE
        AND o.day BETWEEN s.period_start AND s.period_end
        AND (s.firm IS NOT NULL) = coalesce(o.is_charged, s.firm IS NOT NULL)
    ANTI JOIN (SELECT * FROM span WHERE worker_id IS NULL) AS f
        ON f.firm = o.firm
        AND f.period_end <= $to::DATE
        AND o.day BETWEEN f.period_start AND f.period_end
),

-- Premium is due on a day all of whose hours are unpaid.
unpaid AS (
    SELECT worker_id, day, sheet_trade, kind, supplier, ms, false AS is_late, true AS is_whole
    FROM never_paid
    UNION ALL
    SELECT l.worker_id, l.day, l.sheet_trade, l.kind, l.supplier, l.ms, true AS is_late, l.ms = b.ms AS is_whole
    FROM staged_late_unpaid AS l
    INNER JOIN booked AS b
        ON b.worker_id = l.worker_id
        AND b.day = l.day
        AND b.sheet_trade IS NOT DISTINCT FROM l.sheet_trade
        AND b.kind = l.kind
),

rated AS (
    SELECT u.*, r.cost_per_hour
    FROM unpaid AS u
    INNER JOIN rated_day($upto) AS r
        ON r.worker_id = u.worker_id AND r.day = u.day AND r.sheet_trade IS NOT DISTINCT FROM u.sheet_trade
),

-- What is due beside the hours at their rate; hours that are only a premium cost no rate.
due AS (
    SELECT
        t.worker_id,
        t.day,
        t.sheet_trade,
        coalesce(sum(t.ms::HUGEINT * premium_rate(r.cost_per_hour, t.share)), 0) AS premium,
        coalesce(sum(t.ms::HUGEINT * r.cost_per_hour) FILTER (WHERE t.share IS NULL), 0) AS only_cost
    FROM staged_premium AS t
    INNER JOIN rated AS r
        ON r.worker_id = t.worker_id
        AND r.day = t.day
        AND r.sheet_trade IS NOT DISTINCT FROM t.sheet_trade
        AND r.kind = 'worked'
        AND r.is_whole
    GROUP BY ALL
)

SELECT
    u.worker_id,
    u.supplier,
    u.kind,
    u.is_late,
    min(u.day) AS first_day,
    max(u.day) AS last_day,
    sum(u.ms)::DECIMAL(38,0) AS ms,
    CASE
        WHEN count(*) = count(u.cost_per_hour)
        THEN sum(u.ms::HUGEINT * u.cost_per_hour) - coalesce(sum(d.only_cost), 0)
    END::DECIMAL(38,0) AS cost,
    CASE WHEN count(*) = count(u.cost_per_hour) THEN coalesce(sum(d.premium), 0) END::DECIMAL(38,0) AS premium
FROM rated AS u
LEFT JOIN due AS d
    ON d.worker_id = u.worker_id
    AND d.day = u.day
    AND d.sheet_trade IS NOT DISTINCT FROM u.sheet_trade
    AND u.kind = 'worked'
    AND u.is_whole
GROUP BY u.worker_id, u.supplier, u.kind, u.is_late
ORDER BY u.worker_id, u.supplier, u.kind, u.is_late
