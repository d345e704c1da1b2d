-- sheet_days_of_file: the lines of a file on worker-days that the book has, each with the line of the book that it is or may be.
-- In:  none
-- Out: line BIGINT; outcome VARCHAR; reason VARCHAR; line_batch BIGINT; line_row BIGINT; near_batch BIGINT, of the line that it may be; near_row BIGINT; sheet VARCHAR, folded; sheet_name VARCHAR; worker_id VARCHAR; day DATE; booking_code VARCHAR
SELECT
    l.line,
    l.outcome,
    l.reason,
    coalesce(l.of_batch, l.line_batch) AS line_batch,
    coalesce(l.of_row, l.line_row) AS line_row,
    q.line_batch AS near_batch,
    q.line_row AS near_row,
    -- A line that was corrected is of the sheet, worker and day that it stands for.
    coalesce(h.sheet, a.sheet) AS sheet,
    l.sheet AS sheet_name,
    coalesce(h.worker_id, l.worker_id) AS worker_id,
    coalesce(h.day, l.day) AS day,
    l.booking_code
FROM staged_first AS l
INNER JOIN staged_alike AS a ON a.place = l.place
LEFT JOIN staged_questioned AS q ON q.place = l.place
LEFT JOIN staged_sheet_had AS h ON h.line_batch = l.of_batch AND h.line_row = l.of_row
WHERE l.reason IS DISTINCT FROM 'same_as_sheet'
ORDER BY l.line
