-- rows_touched: which lines of known parts stand on worker-days or sheets that others touch.
-- In:  none
-- Out: batch BIGINT; row BIGINT; line BIGINT, in the file that is loaded
WITH touched AS (
    SELECT DISTINCT f.worker_id, f.day
    FROM staged_line_flagged AS f
    LEFT JOIN staged_day_touched AS d ON d.worker_id = f.worker_id AND d.day = f.day
    LEFT JOIN staged_sheet_touched AS s ON s.sheet = f.sheet
    WHERE f.is_known
        AND (d.worker_id IS NOT NULL
            OR s.sheet IS NOT NULL
            OR (f.sheet IS NULL AND f.worker_id IN (SELECT worker_id FROM staged_sheet_touched WHERE worker_id IS NOT NULL)))
)

-- Whatever else stands on these worker-days is found with them.
SELECT f.batch, f.row, f.line
FROM staged_line_flagged AS f
SEMI JOIN touched AS t ON t.worker_id = f.worker_id AND t.day = f.day
WHERE f.is_known
ORDER BY f.batch, f.row
