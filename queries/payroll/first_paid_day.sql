-- first_paid_day: the first day of the first period of which anything was paid.
-- In:  $upto BIGINT, the last batch that counts
-- Out: day DATE, null where nothing was paid
SELECT min(period_start) AS day
FROM (
    SELECT period_start FROM current_payroll_line($upto)
    UNION ALL
    SELECT period_start FROM current_supplier_hours($upto)
)
ORDER BY day
