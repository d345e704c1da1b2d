-- document_line.2: the sealed text of each row of document_line, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(document),
        sealed(position),
        sealed(claim_kind),
        sealed(item),
        sealed(change),
        sealed(description_hash),
        sealed(quantity),
        sealed(unit),
        sealed(unit_price),
        sealed(to_date),
        sealed(before),
        sealed(amount),
        sealed(tax_category),
        sealed(tax_rate)
    ) AS sealed_text
FROM stored_document_line($upto)
WHERE batch >= $since
ORDER BY batch, row
