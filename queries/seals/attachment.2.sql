-- attachment.2: the sealed text of each row of attachment, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(job),
        sealed(change),
        sealed(event),
        sealed(day),
        sealed(revision),
        sealed(name_hash),
        sealed(sha256_hash)
    ) AS sealed_text
FROM stored_attachment($upto)
WHERE batch >= $since
ORDER BY batch, row
