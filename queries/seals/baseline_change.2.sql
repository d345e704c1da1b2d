-- baseline_change.2: the sealed text of each row of baseline_change, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(job),
        sealed(name),
        sealed(position),
        sealed(day),
        sealed(person),
        sealed(reference_hash),
        sealed(work_package),
        sealed(trade),
        sealed(ms),
        sealed(contract_sum)
    ) AS sealed_text
FROM stored_baseline_change($upto)
WHERE batch >= $since
ORDER BY batch, row
