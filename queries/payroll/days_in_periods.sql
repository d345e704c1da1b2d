-- days_in_periods: each day placed in one period, of its own kind of pay or left over from it.
-- In:  none
-- Out: worker_id VARCHAR, null where a supplier's hours are of all its people together; against VARCHAR; firm VARCHAR; supplier VARCHAR; period_start DATE; period_end DATE; kind VARCHAR; class_reason VARCHAR; day DATE; batch BIGINT; ms BIGINT, milliseconds; is_contract BOOLEAN
SELECT worker_id, against, firm, supplier, period_start, period_end, kind, class_reason, day, batch, ms, is_contract
FROM staged_pay_in_kind
WHERE period_start IS NOT NULL
UNION ALL
SELECT worker_id, against, firm, supplier, period_start, period_end, kind, class_reason, day, batch, ms, is_contract
FROM staged_pay_left_over
ORDER BY worker_id, day, kind, against, batch, class_reason, is_contract
