-- claim_percent.2: the sealed text of each row of claim_percent, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(job),
        sealed(item),
        sealed(day),
        sealed(percent),
        sealed(amount),
        sealed(on_account)
    ) AS sealed_text
FROM known_claim_percent($upto)
WHERE batch >= $since
ORDER BY batch, row
