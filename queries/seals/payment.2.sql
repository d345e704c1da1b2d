-- payment.2: the sealed text of each row of payment, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(job),
        sealed(number),
        sealed(invoice),
        sealed(day),
        sealed(amount),
        sealed(reference_hash),
        sealed(deducted),
        sealed(deduction_kind),
        sealed(accepted),
        sealed(reason_hash)
    ) AS sealed_text
FROM stored_payment($upto)
WHERE batch >= $since
ORDER BY batch, row
