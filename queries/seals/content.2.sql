-- content.2: the sealed text of each row of content, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(sha256_hash),
        sealed(media_type),
        sealed(byte_count),
        sealed(packing),
        sealed(data_hash)
    ) AS sealed_text
FROM stored_content($upto)
WHERE batch >= $since
ORDER BY batch, row
