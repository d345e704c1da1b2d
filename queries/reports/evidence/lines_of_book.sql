-- lines_of_book: sheet lines behind the entries of a change, of those whose text is kept with them.
-- In:  $job VARCHAR; $change VARCHAR; $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; line BIGINT; raw VARCHAR; default_job VARCHAR
SELECT l.batch AS line_batch, l.row AS line_row, l.line, t.raw, f.default_job
FROM known_sheet_line($upto) AS l
SEMI JOIN standing_time($upto) AS s
    ON s.line_batch = l.batch AND s.line_row = l.row AND s.job = $job AND s.booked_to = $change
INNER JOIN known_held_text($upto) AS t ON t.batch = l.batch AND t.line_row = l.row
INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
ORDER BY line_batch, line_row
