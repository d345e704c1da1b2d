-- document.2: the sealed text of each row of document, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(kind),
        sealed(job),
        sealed(change),
        sealed(revision),
        sealed(day_from),
        sealed(day_to),
        sealed(mark),
        sealed(series),
        sealed(number),
        sealed(document),
        sealed(issued_on),
        sealed(prepared_by),
        sealed(known_at),
        sealed(content_digest_hash),
        sealed(sha256_hash),
        sealed(retain_until),
        sealed(claim),
        sealed(credits),
        sealed(due_on),
        sealed(currency),
        sealed(particulars_hash)
    ) AS sealed_text
FROM stored_document($upto)
WHERE batch >= $since
ORDER BY batch, row
