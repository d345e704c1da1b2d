-- days_placed: days booked, those of a contract and overtime that is paid as a premium, each in the period that was paid of its worker, else of the supplier, else in the days asked for.
-- In:  $from DATE; $to DATE, inclusive, the period of what no other has
-- Out: worker_id VARCHAR; party VARCHAR, the worker, null where a supplier's hours are of all its people together; against VARCHAR; firm VARCHAR; supplier VARCHAR; period_start DATE; period_end DATE; kind VARCHAR; class_reason VARCHAR; day DATE; batch BIGINT; ms BIGINT, milliseconds; is_contract BOOLEAN, hours of a contract, not booked
WITH listed AS (
    SELECT worker_id, against, firm, supplier, kind, class_reason, day, batch, ms, false AS is_contract
    FROM staged_pay_day
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
),

each_day AS (
    SELECT
        worker_id,
        firm,
        firm IS NOT NULL AS is_charged,
        kind,
        period_start,
        period_end,
        period_start + unnest(range(0, period_end - period_start + 1))::INTEGER AS day
    FROM staged_pay_span
),

-- Of suppliers that charge a worker in the same days, the one of the crew, so that no day stands twice.
charged AS (
    SELECT e.*
    FROM each_day AS e
    LEFT JOIN staged_pay_crew AS c ON c.worker_id = e.worker_id AND c.day_from <= e.day AND c.day_before > e.day
    WHERE e.is_charged AND e.worker_id IS NOT NULL
    QUALIFY row_number() OVER (
        PARTITION BY e.worker_id, e.kind, e.day
        ORDER BY coalesce(e.firm = c.firm, false) DESC, e.period_start DESC, e.period_end, e.firm
    ) = 1
),

spread AS (
    SELECT * FROM each_day WHERE NOT is_charged OR worker_id IS NULL
    UNION ALL
    SELECT * FROM charged
),

by_kind AS MATERIALIZED (
    SELECT d.*, s.period_start, s.period_end
    FROM listed AS d
    LEFT JOIN spread AS s
        ON s.worker_id = d.worker_id
        AND s.day = d.day
        AND s.kind = d.kind
        AND s.is_charged = (d.against = 'supplier')
),

left_over AS (
    SELECT * EXCLUDE (period_start, period_end) FROM by_kind WHERE period_start IS NULL
),

-- A day of whom another kind was paid stands in that period.
of_worker AS (
    SELECT s.worker_id, s.is_charged, s.day, max(s.period_start) AS period_start, arg_max(s.period_end, s.period_start) AS period_end
    FROM spread AS s
    SEMI JOIN left_over AS d ON d.worker_id = s.worker_id AND d.day = s.day
    GROUP BY ALL
),

of_firm AS (
    SELECT s.firm, s.day, max(s.period_start) AS period_start, arg_max(s.period_end, s.period_start) AS period_end
    FROM spread AS s
    SEMI JOIN left_over AS d ON d.firm = s.firm AND d.day = s.day
    WHERE s.worker_id IS NULL
    GROUP BY ALL
),

otherwise AS (
    SELECT
        d.*,
        w.period_start IS NULL AND f.period_start IS NOT NULL AS is_of_firm,
        coalesce(w.period_start, f.period_start, $from::DATE) AS period_start,
        coalesce(w.period_end, f.period_end, $to::DATE) AS period_end
    FROM left_over AS d
    LEFT JOIN of_worker AS w
        ON w.worker_id = d.worker_id AND w.day = d.day AND w.is_charged = (d.against = 'supplier')
    LEFT JOIN of_firm AS f ON f.firm = d.firm AND f.day = d.day
),

placed AS (
    SELECT *, false AS is_of_firm FROM by_kind WHERE period_start IS NOT NULL
    UNION ALL BY NAME
    SELECT * FROM otherwise WHERE day BETWEEN period_start AND period_end
)

SELECT
    worker_id,
    CASE WHEN NOT is_of_firm THEN worker_id END AS party,
    against,
    firm,
    supplier,
    period_start,
    period_end,
    kind,
    class_reason,
    day,
    batch,
    ms,
    is_contract
FROM placed
ORDER BY worker_id, day, kind, against, batch, class_reason, is_contract
