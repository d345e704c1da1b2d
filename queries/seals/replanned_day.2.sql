-- replanned_day.2: the sealed text of each row of replanned_day, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(job),
        sealed(name),
        sealed(work_package),
        sealed(trade),
        sealed(day),
        sealed(ms)
    ) AS sealed_text
FROM known_replanned_day($upto)
WHERE batch >= $since
ORDER BY batch, row
