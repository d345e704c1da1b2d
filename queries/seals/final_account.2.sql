-- final_account.2: the sealed text of each row of final_account, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(job),
        sealed(day),
        sealed(amount),
        sealed(person),
        sealed(reference_hash),
        sealed(reserved)
    ) AS sealed_text
FROM stored_final_account($upto)
WHERE batch >= $since
ORDER BY batch, row
