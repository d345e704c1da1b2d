-- attendance.2: the sealed text of each row of attendance, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(worker_id),
        sealed(day),
        sealed(clock_in),
        sealed(clock_out),
        sealed(break_minutes),
        sealed(ms)
    ) AS sealed_text
FROM known_attendance($upto)
WHERE batch >= $since
ORDER BY batch, row
