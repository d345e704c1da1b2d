-- past_work.2: the sealed text of each row of past_work, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(past_job),
        sealed(work_kind),
        sealed(unit),
        sealed(trade),
        sealed(quantity),
        sealed(ms)
    ) AS sealed_text
FROM known_past_work($upto)
WHERE batch >= $since
ORDER BY batch, row
