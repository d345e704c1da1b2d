-- posting.2: the sealed text of each row of posting, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(entry_batch),
        sealed(entry_row),
        sealed(worker_id),
        sealed(day),
        sealed(trade),
        sealed(pay_class),
        sealed(job),
        sealed(booked_to),
        sealed(cause),
        sealed(rework),
        sealed(ms),
        sealed(reason),
        sealed(rule)
    ) AS sealed_text
FROM stored_posting($upto)
WHERE batch >= $since
ORDER BY batch, row
