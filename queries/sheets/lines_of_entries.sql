-- lines_of_entries: of the entries chosen the sheet lines whose text stands in their files alone.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; file_row BIGINT; line BIGINT; place BIGINT, in the file, null where the line tells it
SELECT l.batch AS line_batch, l.row AS line_row, l.file_row, l.line, l.place
FROM known_line($upto) AS l
SEMI JOIN staged_entry_chosen AS c ON c.line_batch = l.batch AND c.line_row = l.row
ANTI JOIN known_held_text($upto) AS t ON t.batch = l.batch AND t.line_row = l.row
ORDER BY line_batch, line_row
