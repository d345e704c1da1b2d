-- change_line.1: the sealed text of each row of change_line that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(job),
        sealed(change),
        sealed(revision::VARCHAR),
        sealed(position::VARCHAR),
        sealed(price_kind),
        sealed(description),
        sealed(trade),
        sealed(grade),
        sealed(ms::VARCHAR),
        sealed(quantity::VARCHAR),
        sealed(unit),
        sealed(unit_price::VARCHAR),
        sealed(work_package),
        sealed(planned_start::VARCHAR),
        sealed(planned_finish::VARCHAR),
        sealed(technique)
    ) AS sealed_text
FROM known_change_line($batch)
WHERE batch = $batch
ORDER BY row
