-- leave.2: the sealed text of each row of leave, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(worker_id),
        sealed(day_from),
        sealed(day_to),
        sealed(cause_hash)
    ) AS sealed_text
FROM stored_leave($upto)
WHERE batch >= $since
ORDER BY batch, row
