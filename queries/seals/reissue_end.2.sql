-- reissue_end.2: the sealed text of each row of reissue_end, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(reissue_batch),
        sealed(reissue_row),
        sealed(ended),
        sealed(reason_hash)
    ) AS sealed_text
FROM stored_reissue_end($upto)
WHERE batch >= $since
ORDER BY batch, row
