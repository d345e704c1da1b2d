-- corrected_line.1: the sealed text of each row of corrected_line that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(line_batch::VARCHAR),
        sealed(line_row::VARCHAR),
        sealed(lower(hex(line_key)))
    ) AS sealed_text
FROM known_corrected_line($batch)
WHERE batch = $batch
ORDER BY row
