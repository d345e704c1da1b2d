-- certified.2: the sealed text of each row of certified, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(job),
        sealed(claim),
        sealed(day),
        sealed(item),
        sealed(amount),
        sealed(reason_hash)
    ) AS sealed_text
FROM stored_certified($upto)
WHERE batch >= $since
ORDER BY batch, row
