-- change_line.2: the sealed text of each row of change_line, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(job),
        sealed(change),
        sealed(revision),
        sealed(position),
        sealed(price_kind),
        sealed(description_hash),
        sealed(trade),
        sealed(grade),
        sealed(ms),
        sealed(quantity),
        sealed(unit),
        sealed(unit_price),
        sealed(work_package),
        sealed(planned_start),
        sealed(planned_finish),
        sealed(technique),
        sealed(addition_percent),
        sealed(addition_on),
        sealed(addition_of),
        sealed(addition_method),
        sealed(provisional_sum),
        sealed(owner_text_hash)
    ) AS sealed_text
FROM stored_change_line($upto)
WHERE batch >= $since
ORDER BY batch, row
