-- replanned_milestone.2: the sealed text of each row of replanned_milestone, seal version 2.
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
        sealed(milestone),
        sealed(weight),
        sealed(planned_date)
    ) AS sealed_text
FROM known_replanned_milestone($upto)
WHERE batch >= $since
ORDER BY batch, row
