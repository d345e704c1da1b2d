-- lines_written: the texts of the sheet lines that are staged, as they were written.
-- In:  $upto BIGINT, the last batch that counts
-- Out: sheet_line VARCHAR, as batch.row; file VARCHAR; line BIGINT; raw VARCHAR
SELECT w.line_batch || '.' || w.line_row AS sheet_line, f.name AS file, l.line, w.raw
FROM staged_written AS w
INNER JOIN known_sheet_line($upto) AS l ON l.batch = w.line_batch AND l.row = w.line_row
LEFT JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
ORDER BY w.line_batch, w.line_row
