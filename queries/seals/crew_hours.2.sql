-- crew_hours.2: the sealed text of each row of crew_hours, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(week),
        sealed(job),
        sealed(booked_to),
        sealed(ms)
    ) AS sealed_text
FROM known_crew_hours($upto)
WHERE batch >= $since
ORDER BY batch, row
