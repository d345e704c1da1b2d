-- payments_known: what was paid of the invoices of a job and what was deducted, in the order of the days.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: number BIGINT; invoice VARCHAR, its number; day DATE; amount DECIMAL(38,4), below 0 what was paid back;
--      reference VARCHAR; deducted DECIMAL(38,4), null without one; deduction_kind VARCHAR; accepted BOOLEAN; reason VARCHAR
SELECT number, invoice, day, amount, reference, deducted, deduction_kind, accepted, reason
FROM current_payment($upto)
WHERE job = $job
ORDER BY day, number
