-- file.1: the sealed text of each row of file that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(name),
        sealed(sha256),
        sealed(kind),
        sealed(layout),
        sealed(encoding),
        sealed(default_job),
        sealed(lines_read::VARCHAR),
        sealed(booked::VARCHAR),
        sealed(held::VARCHAR),
        sealed(already_booked::VARCHAR),
        sealed(already_held::VARCHAR),
        sealed(left_out::VARCHAR)
    ) AS sealed_text
FROM known_file($batch)
WHERE batch = $batch
ORDER BY row
