-- paid_lines: lines of payroll, or of a supplier's hours, of a worker in periods that end in some days.
-- In:  $worker VARCHAR; $from DATE; $to DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: fact VARCHAR, its id; period_start DATE; period_end DATE; pay_class VARCHAR, null of a supplier's hours; supplier VARCHAR; invoice VARCHAR; ms BIGINT, milliseconds
SELECT
    'payroll_line:' || batch || '.' || row AS fact,
    period_start,
    period_end,
    pay_class,
    NULL::VARCHAR AS supplier,
    NULL::VARCHAR AS invoice,
    ms
FROM current_payroll_line($upto)
WHERE worker_id = $worker AND period_end BETWEEN $from::DATE AND $to::DATE
UNION ALL
SELECT
    'supplier_hours:' || batch || '.' || row AS fact,
    period_start,
    period_end,
    NULL::VARCHAR AS pay_class,
    supplier,
    invoice,
    ms
FROM current_supplier_hours($upto)
WHERE worker_id = $worker AND period_end BETWEEN $from::DATE AND $to::DATE
ORDER BY period_start, period_end, pay_class, fact
