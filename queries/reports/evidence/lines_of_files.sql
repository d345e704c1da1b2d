-- lines_of_files: sheet lines behind the entries of a change, of those whose text stands in their files.
-- In:  $job VARCHAR; $change VARCHAR; $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; file_row BIGINT; line BIGINT; place BIGINT, in the file, null where the line tells it
SELECT l.batch AS line_batch, l.row AS line_row, l.file_row, l.line, l.place
FROM known_line($upto) AS l
SEMI JOIN standing_time($upto) AS s
    ON s.line_batch = l.batch AND s.line_row = l.row AND s.job = $job AND s.booked_to = $change
ANTI JOIN known_held_text($upto) AS t ON t.batch = l.batch AND t.line_row = l.row
ORDER BY line_batch, line_row
