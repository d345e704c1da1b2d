-- file.2: the sealed text of each row of file, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(name_hash),
        sealed(sha256_hash),
        sealed(kind),
        sealed(layout),
        sealed(encoding),
        sealed(default_job),
        sealed(lines_read),
        sealed(booked),
        sealed(held),
        sealed(already_booked),
        sealed(already_held),
        sealed(left_out)
    ) AS sealed_text
FROM stored_file($upto)
WHERE batch >= $since
ORDER BY batch, row
