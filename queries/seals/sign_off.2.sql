-- sign_off.2: the sealed text of each row of sign_off, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(worker_id),
        sealed(supplier),
        sealed(period_start),
        sealed(period_end),
        sealed(kind),
        sealed(against),
        sealed(paid_ms),
        sealed(booked_ms),
        sealed(reason_hash)
    ) AS sealed_text
FROM stored_sign_off($upto)
WHERE batch >= $since
ORDER BY batch, row
