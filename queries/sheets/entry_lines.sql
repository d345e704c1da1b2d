-- entry_lines: of the entries chosen the sheet lines whose text is kept with them, as they were read.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; line BIGINT; raw VARCHAR; default_job VARCHAR
SELECT l.batch AS line_batch, l.row AS line_row, l.line, t.raw, f.default_job
FROM known_sheet_line($upto) AS l
INNER JOIN known_held_text($upto) AS t ON t.batch = l.batch AND t.line_row = l.row
INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
SEMI JOIN staged_entry_chosen AS c ON c.line_batch = l.batch AND c.line_row = l.row
ORDER BY line_batch, line_row
