-- lines_flagged: the sheet lines of the book, each with whether it stands in a known part of the file that is loaded.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT; sheet VARCHAR; worker_id VARCHAR; day DATE; is_known BOOLEAN; line BIGINT, in the file that is loaded
SELECT
    l.batch,
    l.row,
    l.sheet,
    l.worker_id,
    l.day,
    k.batch IS NOT NULL AS is_known,
    l.line - k.line_there + k.first_line AS line
FROM known_line($upto) AS l
LEFT JOIN staged_stretch_known AS k
    ON k.batch = l.batch
    AND k.file_row = l.file_row
    AND k.line_there <= l.line
    AND l.line < k.line_there + k.lines
ORDER BY l.batch, l.row
