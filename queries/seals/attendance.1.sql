-- attendance.1: the sealed text of each row of attendance that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(worker_id),
        sealed(day::VARCHAR),
        sealed(clock_in),
        sealed(clock_out),
        sealed(break_minutes::VARCHAR),
        sealed(ms::VARCHAR)
    ) AS sealed_text
FROM known_attendance($batch)
WHERE batch = $batch
ORDER BY row
