-- line_outcome.2: the sealed text of each row of line_outcome, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(line_batch),
        sealed(line_row),
        sealed(outcome),
        sealed(reason),
        sealed(message_hash)
    ) AS sealed_text
FROM stored_line_outcome($upto)
WHERE batch >= $since
ORDER BY batch, row
