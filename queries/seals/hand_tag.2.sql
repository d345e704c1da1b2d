-- hand_tag.2: the sealed text of each row of hand_tag, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(line_batch),
        sealed(line_row),
        sealed(job),
        sealed(booked_to),
        sealed(cause),
        sealed(rework),
        sealed(reason_hash)
    ) AS sealed_text
FROM stored_hand_tag($upto)
WHERE batch >= $since
ORDER BY batch, row
