-- daywork_sheet.2: the sealed text of each row of daywork_sheet, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(job),
        sealed(change),
        sealed(daywork_sheet),
        sealed(position),
        sealed(day_from),
        sealed(day_to),
        sealed(agreed_on),
        sealed(mark),
        sealed(person),
        sealed(worker_id),
        sealed(day),
        sealed(agreed_ms),
        sealed(item),
        sealed(agreed_quantity),
        sealed(reason_hash),
        sealed(document)
    ) AS sealed_text
FROM stored_daywork_sheet($upto)
WHERE batch >= $since
ORDER BY batch, row
