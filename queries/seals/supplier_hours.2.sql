-- supplier_hours.2: the sealed text of each row of supplier_hours, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(supplier),
        sealed(period_start),
        sealed(period_end),
        sealed(ms),
        sealed(worker_id),
        sealed(rate),
        sealed(invoice)
    ) AS sealed_text
FROM known_supplier_hours($upto)
WHERE batch >= $since
ORDER BY batch, row
