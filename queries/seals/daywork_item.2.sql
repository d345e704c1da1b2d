-- daywork_item.2: the sealed text of each row of daywork_item, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(job),
        sealed(change),
        sealed(number),
        sealed(day),
        sealed(cost_kind),
        sealed(description_hash),
        sealed(quantity),
        sealed(unit),
        sealed(unit_cost),
        sealed(reference_hash)
    ) AS sealed_text
FROM stored_daywork_item($upto)
WHERE batch >= $since
ORDER BY batch, row
