-- files_of_hours_moved: the files of which the staged differences take time out of a job, the most time first.
-- In:  $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; file VARCHAR; ms DECIMAL(38,0), milliseconds
WITH leaving AS (
    SELECT entry_batch, entry_row, job, -sum(ms) AS ms
    FROM staged_difference
    WHERE job IS NOT NULL
    GROUP BY entry_batch, entry_row, job
    HAVING sum(ms) < 0
)

SELECT l.job, f.name AS file, sum(l.ms)::DECIMAL(38,0) AS ms
FROM leaving AS l
INNER JOIN known_entry($upto) AS e ON e.batch = l.entry_batch AND e.row = l.entry_row
INNER JOIN known_sheet_line($upto) AS s ON s.batch = e.line_batch AND s.row = e.line_row
INNER JOIN known_file($upto) AS f ON f.batch = s.file_batch AND f.row = s.file_row
GROUP BY l.job, f.name
ORDER BY ms DESC, l.job, f.name
