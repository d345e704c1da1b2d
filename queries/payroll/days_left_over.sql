-- days_left_over: days whose kind was not paid of their worker, in the period of another kind, else of the supplier, else among the days asked for.
-- In:  $starts DATE[]; $ends DATE[], inclusive, of each: the periods of what no other has
-- Out: worker_id VARCHAR, null where a supplier's hours are of all its people together; against VARCHAR; firm VARCHAR; supplier VARCHAR; period_start DATE; period_end DATE; kind VARCHAR; class_reason VARCHAR; day DATE; batch BIGINT; ms BIGINT, milliseconds; is_contract BOOLEAN
WITH left_over AS (
    SELECT * EXCLUDE (period_start, period_end) FROM staged_pay_in_kind WHERE period_start IS NULL
),

-- A day of whom another kind was paid stands in that period.
of_worker AS (
    SELECT s.worker_id, s.is_charged, s.day, max(s.period_start) AS period_start, arg_max(s.period_end, s.period_start) AS period_end
    FROM staged_pay_span_day AS s
    SEMI JOIN left_over AS d ON d.worker_id = s.worker_id AND d.day = s.day
    GROUP BY ALL
),

of_firm AS (
    SELECT s.firm, s.day, max(s.period_start) AS period_start, arg_max(s.period_end, s.period_start) AS period_end
    FROM staged_pay_span_day AS s
    SEMI JOIN left_over AS d ON d.firm = s.firm AND d.day = s.day
    WHERE s.worker_id IS NULL
    GROUP BY ALL
),

asked AS (
    SELECT unnest($starts::DATE[]) AS period_start, unnest($ends::DATE[]) AS period_end
),

placed AS (
    SELECT
        d.* REPLACE (CASE WHEN w.period_start IS NOT NULL OR f.period_start IS NULL THEN d.worker_id END AS worker_id),
        coalesce(w.period_start, f.period_start, a.period_start) AS period_start,
        coalesce(w.period_end, f.period_end, a.period_end) AS period_end
    FROM left_over AS d
    LEFT JOIN of_worker AS w
        ON w.worker_id = d.worker_id AND w.day = d.day AND w.is_charged = (d.against = 'supplier')
    LEFT JOIN of_firm AS f ON f.firm = d.firm AND f.day = d.day
    LEFT JOIN asked AS a ON d.day BETWEEN a.period_start AND a.period_end
)

SELECT worker_id, against, firm, supplier, period_start, period_end, kind, class_reason, day, batch, ms, is_contract
FROM placed
WHERE day BETWEEN period_start AND period_end
ORDER BY worker_id, day, kind, against, batch, class_reason, is_contract
