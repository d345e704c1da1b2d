-- held_touched: whether a line of a known part that was held stands on a worker-day that others touch, waits for a question, or ended as another or corrected.
-- In:  $upto BIGINT, the last batch that counts
-- Out: is_touched BOOLEAN
WITH touched AS (
    SELECT worker_id, day
    FROM staged_day_touched
    UNION
    SELECT worker_id, day
    FROM staged_line_touched
)

SELECT EXISTS (
    SELECT 1
    FROM known_held_text($upto) AS h
    INNER JOIN staged_line_flagged AS f ON f.batch = h.batch AND f.row = h.line_row
    INNER JOIN line_standing($upto) AS o ON o.line_batch = h.batch AND o.line_row = h.line_row
    LEFT JOIN touched AS t ON t.worker_id = f.worker_id AND t.day = f.day
    LEFT JOIN staged_sheet_touched AS s ON s.sheet = f.sheet OR (f.sheet IS NULL AND s.worker_id = f.worker_id)
    WHERE f.is_known
        AND (t.worker_id IS NOT NULL
            OR o.outcome NOT IN ('held', 'refused')
            OR (f.day IS NOT NULL AND coalesce(s.sheet, s.worker_id) IS NOT NULL)
            OR h.reason IN ('job_differs', 'times_differ', 'same_as_sheet', 're_issue'))
) AS is_touched
ORDER BY is_touched
