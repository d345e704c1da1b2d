-- rule.2: the sealed text of each row of rule, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(rule),
        sealed(position),
        sealed(priority),
        sealed(booked_to),
        sealed(cause),
        sealed(booking_code),
        sealed(note_contains_hash),
        sealed(note_matches_hash),
        sealed(worker_id),
        sealed(trade),
        sealed(job),
        sealed(day_from),
        sealed(day_to),
        sealed(share),
        sealed(share_by),
        sealed(rework),
        sealed(reason_hash)
    ) AS sealed_text
FROM stored_rule($upto)
WHERE batch >= $since
ORDER BY batch, row
