-- doubt_entries_far: the entries on days far from most of their file's.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT
SELECT e.batch, e.row
FROM entry_time($upto) AS e
SEMI JOIN staged_doubt_far AS b ON b.file_batch = e.line_batch
INNER JOIN known_sheet_line($upto) AS l ON l.batch = e.line_batch AND l.row = e.line_row
INNER JOIN staged_doubt_far AS f ON f.file_batch = l.file_batch AND f.file_row = l.file_row
WHERE e.day NOT BETWEEN f.first_day AND f.last_day
ORDER BY e.batch, e.row
