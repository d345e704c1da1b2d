-- charge_rate.2: the sealed text of each row of charge_rate, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(job),
        sealed(trade),
        sealed(grade),
        sealed(effective_from),
        sealed(charge_per_hour)
    ) AS sealed_text
FROM known_charge_rate($upto)
WHERE batch >= $since
ORDER BY batch, row
