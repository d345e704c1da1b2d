-- sheet_line.2: the sealed text of each row of sheet_line, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(file_batch),
        sealed(file_row),
        sealed(line),
        sealed(raw)
    ) AS sealed_text
FROM known_sheet_line($upto)
WHERE batch >= $since
ORDER BY batch, row
