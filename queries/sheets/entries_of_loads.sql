-- entries_of_loads: the entries that stand of the lines of the loads chosen.
-- In:  $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT; line_batch BIGINT; line_row BIGINT
SELECT e.batch AS entry_batch, e.row AS entry_row, e.line_batch, e.line_row
FROM known_entry($upto) AS e
INNER JOIN known_sheet_line($upto) AS l ON l.batch = e.line_batch AND l.row = e.line_row
SEMI JOIN staged_load_chosen AS c ON c.file_batch = l.file_batch AND c.file_row = l.file_row
ANTI JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
ORDER BY entry_batch, entry_row
