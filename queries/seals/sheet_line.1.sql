-- sheet_line.1: the sealed text of each row of sheet_line that one batch added, seal version 1.
-- In:  $batch BIGINT
-- Out: row BIGINT; salt BLOB; sealed_text VARCHAR, its columns in this order
SELECT
    row,
    salt,
    concat(
        sealed(file_batch::VARCHAR),
        sealed(file_row::VARCHAR),
        sealed(line::VARCHAR),
        sealed(raw)
    ) AS sealed_text
FROM known_sheet_line($batch)
WHERE batch = $batch
ORDER BY row
