-- lines_to_read: the lines to compare with as their cells read: of those that were held when they were loaded the ones that are held, ended without an entry or were corrected.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; file VARCHAR; line BIGINT; outcome VARCHAR; reason VARCHAR; raw VARCHAR; default_job VARCHAR
SELECT
    l.batch AS line_batch,
    l.row AS line_row,
    f.name AS file,
    l.line,
    o.outcome,
    o.reason,
    t.raw,
    f.default_job
FROM line_standing($upto) AS o
INNER JOIN known_sheet_line($upto) AS l ON l.batch = o.line_batch AND l.row = o.line_row
INNER JOIN known_held_text($upto) AS t ON t.batch = l.batch AND t.line_row = l.row
INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
WHERE o.outcome <> 'booked'
    OR (o.line_batch, o.line_row) IN (SELECT (line_batch, line_row) FROM known_line_correction($upto))
ORDER BY line_batch, line_row
