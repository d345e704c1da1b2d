-- held_chosen: the lines that are held, of a file or for a reason.
-- In:  $file VARCHAR, null for any; $reason VARCHAR, null for any; $upto BIGINT, the last batch that counts
-- Out: id VARCHAR, as batch.row
SELECT l.batch || '.' || l.row AS id
FROM line_standing($upto) AS o
INNER JOIN known_sheet_line($upto) AS l ON l.batch = o.line_batch AND l.row = o.line_row
INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
WHERE o.outcome = 'held'
    AND coalesce(f.name = $file::VARCHAR, true)
    AND coalesce(o.reason = $reason::VARCHAR, true)
ORDER BY l.batch, l.row
