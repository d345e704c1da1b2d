-- setting.2: the sealed text of each row of setting, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(name),
        sealed(value_hash)
    ) AS sealed_text
FROM stored_setting($upto)
WHERE batch >= $since
ORDER BY batch, row
