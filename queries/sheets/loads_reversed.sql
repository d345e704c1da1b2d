-- loads_reversed: the last reversal of a whole file or batch among the loads named.
-- In:  $loads VARCHAR[], as batch.row; $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; recorded_at TIMESTAMP, UTC; actor VARCHAR
SELECT max(t.batch) AS batch, max(b.recorded_at) AS recorded_at, arg_max(b.actor, t.batch) AS actor
FROM known_sheet_line($upto) AS l
INNER JOIN line_taken_out($upto) AS t ON t.line_batch = l.batch AND t.line_row = l.row
LEFT JOIN known_batch($upto) AS b ON b.sequence = t.batch
WHERE l.file_batch || '.' || l.file_row IN (SELECT unnest($loads::VARCHAR[]))
HAVING count(*) > 0
ORDER BY batch
