-- line_outcome.1: the sealed text of each row of line_outcome that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(line_batch::VARCHAR),
        sealed(line_row::VARCHAR),
        sealed(outcome),
        sealed(reason),
        sealed(message)
    ) AS sealed_text
FROM known_line_outcome($batch)
WHERE batch = $batch
ORDER BY row
