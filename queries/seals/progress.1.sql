-- progress.1: the sealed text of each row of progress that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(job),
        sealed(work_package),
        sealed(trade),
        sealed(day::VARCHAR),
        sealed(milestone),
        sealed(percent::VARCHAR),
        sealed(quantity_done::VARCHAR),
        sealed(quantity_at_completion::VARCHAR),
        sealed(started::VARCHAR),
        sealed(finished::VARCHAR),
        sealed(estimate_to_complete_ms::VARCHAR),
        sealed(note)
    ) AS sealed_text
FROM known_progress($batch)
WHERE batch = $batch
ORDER BY row
