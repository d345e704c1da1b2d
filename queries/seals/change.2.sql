-- change.2: the sealed text of each row of change, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(job),
        sealed(change),
        sealed(title_hash),
        sealed(requested_by),
        sealed(requested_on),
        sealed(change_basis),
        sealed(origin),
        sealed(description_hash),
        sealed(decision_needed_by),
        sealed(days_requested)
    ) AS sealed_text
FROM stored_change($upto)
WHERE batch >= $since
ORDER BY batch, row
