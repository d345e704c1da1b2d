-- payroll_row.2: the sealed text of each row of payroll_row, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(worker_id),
        sealed(period_start),
        sealed(period_end),
        sealed(pay_class),
        sealed(file_tab),
        sealed(file_line),
        sealed(ms),
        sealed(gross)
    ) AS sealed_text
FROM known_payroll_row($upto)
WHERE batch >= $since
ORDER BY batch, row
