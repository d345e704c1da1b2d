-- held_text.2: the sealed text of each row of held_text, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(line_row),
        sealed(reason),
        sealed(raw_hash),
        sealed(message_hash)
    ) AS sealed_text
FROM stored_held_text($upto)
WHERE batch >= $since
ORDER BY batch, row
