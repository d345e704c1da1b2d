-- lines_of_files: sheet lines behind the entries of a change, of those whose text stands in their files.
-- In:  $job VARCHAR; $change VARCHAR; $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; file_row BIGINT; line BIGINT; place BIGINT, in the file, null where the line tells it
WITH wanted AS (
    SELECT DISTINCT e.line_batch AS batch, e.line_row AS row
    FROM known_entry($upto) AS e
    SEMI JOIN (
        SELECT p.entry_batch, p.entry_row
        FROM known_posting($upto) AS p
        ANTI JOIN fixed_entry($upto) AS f ON f.batch = p.entry_batch AND f.row = p.entry_row
        WHERE p.job = $job AND p.booked_to = $change
        GROUP BY p.entry_batch, p.entry_row
        HAVING sum(p.ms) <> 0
    ) AS p ON p.entry_batch = e.batch AND p.entry_row = e.row
)

SELECT l.batch AS line_batch, l.row AS line_row, l.file_row, l.line, l.place
FROM known_line($upto) AS l
SEMI JOIN wanted AS w ON w.batch = l.batch AND w.row = l.row
ANTI JOIN known_held_text($upto) AS t ON t.batch = l.batch AND t.line_row = l.row
ORDER BY line_batch, line_row
