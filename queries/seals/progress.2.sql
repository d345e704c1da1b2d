-- progress.2: the sealed text of each row of progress, seal version 2.
-- In:  $since BIGINT; $upto BIGINT, the first and the last batch that count
-- Out: batch BIGINT; row BIGINT; sealed_text VARCHAR, its columns in this order
SELECT
    batch,
    row,
    concat_ws(
        chr(31),
        sealed(job),
        sealed(work_package),
        sealed(trade),
        sealed(day),
        sealed(milestone),
        sealed(percent),
        sealed(quantity_done),
        sealed(quantity_at_completion),
        sealed(started),
        sealed(finished),
        sealed(estimate_to_complete_ms),
        sealed(note_hash)
    ) AS sealed_text
FROM stored_progress($upto)
WHERE batch >= $since
ORDER BY batch, row
