-- held_lines: the lines that are held, with file, line, reason and raw text.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; file VARCHAR; line BIGINT; reason VARCHAR; message VARCHAR; raw VARCHAR; default_job VARCHAR; held_line VARCHAR, as batch.row
SELECT
    l.batch AS line_batch,
    l.row AS line_row,
    f.name AS file,
    l.line,
    o.reason,
    o.message,
    t.raw,
    f.default_job,
    l.batch || '.' || l.row AS held_line
FROM line_standing($upto) AS o
INNER JOIN known_sheet_line($upto) AS l ON l.batch = o.line_batch AND l.row = o.line_row
INNER JOIN known_held_text($upto) AS t ON t.batch = l.batch AND t.line_row = l.row
INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
WHERE o.outcome = 'held'
ORDER BY f.name, l.line, l.batch, l.row
