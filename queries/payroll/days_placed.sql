-- days_placed: the period in which each day booked, or of a contract, stands beside what was paid.
-- In:  $from DATE; $to DATE, inclusive, the period of what no other has
-- Out: worker_id VARCHAR; day DATE; kind VARCHAR; against VARCHAR; party VARCHAR, the worker, null where a supplier's hours are of all its people together; firm VARCHAR; period_start DATE; period_end DATE
WITH listed AS (
    SELECT worker_id, day, kind, against, firm FROM staged_pay_day
    UNION
    SELECT worker_id, day, 'worked' AS kind, 'contract' AS against, NULL::VARCHAR AS firm FROM staged_pay_contract
),

sided AS (
    SELECT *, against = 'supplier' AS is_charged FROM listed
),

of_kind AS (
    SELECT worker_id, firm IS NOT NULL AS is_charged, kind, period_start, period_end
    FROM staged_pay_span
    WHERE worker_id IS NOT NULL
    GROUP BY ALL
),

of_worker AS (
    SELECT worker_id, is_charged, period_end, max(period_start) AS period_start
    FROM of_kind
    GROUP BY ALL
),

of_firm AS (
    SELECT firm, period_end, max(period_start) AS period_start
    FROM staged_pay_span
    WHERE worker_id IS NULL
    GROUP BY ALL
),

by_kind AS (
    SELECT d.*, k.period_start AS kind_start, k.period_end AS kind_end
    FROM sided AS d
    ASOF LEFT JOIN of_kind AS k
        ON k.worker_id = d.worker_id AND k.is_charged = d.is_charged AND k.kind = d.kind AND k.period_end >= d.day
),

by_worker AS (
    SELECT d.*, w.period_start AS worker_start, w.period_end AS worker_end
    FROM by_kind AS d
    ASOF LEFT JOIN of_worker AS w
        ON w.worker_id = d.worker_id AND w.is_charged = d.is_charged AND w.period_end >= d.day
),

by_firm AS (
    SELECT d.*, f.period_start AS firm_start, f.period_end AS firm_end
    FROM by_worker AS d
    ASOF LEFT JOIN of_firm AS f ON f.firm = d.firm AND f.period_end >= d.day
),

chosen AS (
    SELECT
        d.worker_id,
        d.day,
        d.kind,
        d.against,
        d.firm,
        CASE
            WHEN d.kind_start <= d.day THEN {'level': 1, 'start': d.kind_start, 'end': d.kind_end}
            WHEN d.worker_start <= d.day THEN {'level': 1, 'start': d.worker_start, 'end': d.worker_end}
            WHEN d.firm_start <= d.day THEN {'level': 2, 'start': d.firm_start, 'end': d.firm_end}
            WHEN d.day BETWEEN $from::DATE AND $to::DATE THEN {'level': 3, 'start': $from::DATE, 'end': $to::DATE}
        END AS place
    FROM by_firm AS d
)

SELECT
    worker_id,
    day,
    kind,
    against,
    CASE WHEN place.level <> 2 THEN worker_id END AS party,
    firm,
    place.start AS period_start,
    place.end AS period_end
FROM chosen
WHERE place IS NOT NULL
ORDER BY worker_id, day, kind, against
