-- line_of_file: a sheet line whose text stands in its file alone, as one row; none for any other.
-- In:  $line_batch BIGINT; $line_row BIGINT; $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; file_row BIGINT; line BIGINT; place BIGINT, in the file, null where the line tells it
SELECT l.batch AS line_batch, l.row AS line_row, l.file_row, l.line, l.place
FROM known_line($upto) AS l
ANTI JOIN known_held_text($upto) AS t ON t.batch = l.batch AND t.line_row = l.row
WHERE l.batch = $line_batch AND l.row = $line_row
ORDER BY line_batch, line_row
