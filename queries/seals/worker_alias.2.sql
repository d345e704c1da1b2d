-- worker_alias.2: the sealed text of each row of worker_alias, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(alias_hash),
        sealed(worker_id),
        sealed(reason_hash)
    ) AS sealed_text
FROM stored_worker_alias($upto)
WHERE batch >= $since
ORDER BY batch, row
