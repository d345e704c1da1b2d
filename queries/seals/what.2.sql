-- what.2: the sealed text of each row of what, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(number),
        sealed(held),
        sealed(booking_code),
        sealed(job_given),
        sealed(pay_class),
        sealed(trade),
        sealed(rework),
        sealed(approved_by),
        sealed(job),
        sealed(booked_to),
        sealed(cause),
        sealed(booked_rework),
        sealed(reason),
        sealed(rule)
    ) AS sealed_text
FROM stored_what($upto)
WHERE batch >= $since
ORDER BY batch, row
