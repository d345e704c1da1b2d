-- line.2: the sealed text of each row of line, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(file_row),
        sealed(line),
        sealed(place),
        sealed(sheet),
        sealed(worker_id),
        sealed(day),
        sealed(ms),
        sealed(start_time),
        sealed(finish_time),
        sealed(break_minutes),
        sealed(what),
        sealed(note)
    ) AS sealed_text
FROM known_line($upto)
WHERE batch >= $since
ORDER BY batch, row
