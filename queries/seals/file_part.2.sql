-- file_part.2: the sealed text of each row of file_part, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(file_row),
        sealed(part),
        sealed(first_line),
        sealed(sha256_hash)
    ) AS sealed_text
FROM stored_file_part($upto)
WHERE batch >= $since
ORDER BY batch, row
