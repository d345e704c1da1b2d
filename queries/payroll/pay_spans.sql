-- pay_spans: what was paid of each worker, or supplier, by period and kind of pay.
-- In:  $classes VARCHAR[]; $kinds VARCHAR[], the kind of each pay class; $first DATE; $last DATE, by which the periods end; $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR, null of all people of a supplier together; firm VARCHAR, the supplier's name as compared, null of the yard's own; supplier VARCHAR; period_start DATE; period_end DATE; kind VARCHAR; paid_ms BIGINT, milliseconds; paid_in BIGINT, the batch; is_by_contract BOOLEAN, payroll follows a contract's hours, which count instead of it in a whole period
WITH class AS (
    SELECT unnest($classes::VARCHAR[]) AS pay_class, unnest($kinds::VARCHAR[]) AS kind
),

paid AS (
    SELECT
        p.worker_id,
        NULL::VARCHAR AS firm,
        NULL::VARCHAR AS supplier,
        p.period_start,
        p.period_end,
        coalesce(c.kind, 'worked') AS kind,
        p.ms,
        p.batch
    FROM current_payroll_line($upto) AS p
    LEFT JOIN class AS c ON c.pay_class = p.pay_class
    UNION ALL
    SELECT
        worker_id,
        word_of(trim(supplier)) AS firm,
        supplier,
        period_start,
        period_end,
        'worked' AS kind,
        ms,
        batch
    FROM current_supplier_hours($upto)
),

summed AS (
    SELECT
        worker_id,
        firm,
        min(supplier) AS supplier,
        period_start,
        period_end,
        kind,
        sum(ms)::BIGINT AS paid_ms,
        max(batch) AS paid_in
    FROM paid
    WHERE period_end BETWEEN $first::DATE AND $last::DATE
    GROUP BY worker_id, firm, period_start, period_end, kind
)

SELECT
    s.worker_id,
    s.firm,
    s.supplier,
    s.period_start,
    s.period_end,
    s.kind,
    s.paid_ms,
    s.paid_in,
    s.firm IS NULL
        AND s.kind IN ('worked', 'paid_not_worked')
        AND c.contract_ms IS NOT NULL
        AND NOT EXISTS (
            SELECT 1 FROM staged_pay_crew AS h
            WHERE h.worker_id = s.worker_id
                AND h.contract_ms IS NULL
                AND h.day_from <= s.period_end
                AND h.day_before > s.period_start
                AND coalesce(h.active_to, s.period_start) >= s.period_start
        ) AS is_by_contract
FROM summed AS s
LEFT JOIN staged_pay_crew AS c
    ON c.worker_id = s.worker_id AND c.day_from <= s.period_end AND c.day_before > s.period_end
ORDER BY s.worker_id, s.firm, s.period_start, s.period_end, s.kind
