-- leave_paid: whether any hours were ever paid in some pay classes.
-- In:  $classes VARCHAR[]; $upto BIGINT, the last batch that counts
-- Out: is_paid BOOLEAN
SELECT count(*) > 0 AS is_paid
FROM current_payroll_line($upto)
WHERE list_contains($classes::VARCHAR[], pay_class)
ORDER BY is_paid
