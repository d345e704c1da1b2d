-- reissued_line.1: the sealed text of each row of reissued_line that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(file_batch::VARCHAR),
        sealed(file_row::VARCHAR),
        sealed(line::VARCHAR),
        sealed(sheet),
        sealed(worker_id),
        sealed(day::VARCHAR),
        sealed(line_batch::VARCHAR),
        sealed(line_row::VARCHAR)
    ) AS sealed_text
FROM known_reissued_line($batch)
WHERE batch = $batch
ORDER BY row
