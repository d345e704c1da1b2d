-- lines_near: whether the book has a line that one of the parsed lines may be: of their workers, within their days, or read to compare.
-- In:  $upto BIGINT, the last batch that counts
-- Out: is_near BOOLEAN
WITH workers AS (
    SELECT DISTINCT worker_id
    FROM staged_parsed
),

span AS (
    SELECT min(day) AS first_day, max(day) AS last_day
    FROM staged_parsed
)

SELECT
    EXISTS (
        SELECT 1
        FROM entry_time($upto) AS e
        SEMI JOIN workers AS w ON w.worker_id = e.worker_id
        INNER JOIN span AS s ON e.day BETWEEN s.first_day AND s.last_day
    )
    OR EXISTS (
        SELECT 1
        FROM staged_read_as_written AS r
        SEMI JOIN workers AS w ON w.worker_id IS NOT DISTINCT FROM r.worker_id
    )
    OR EXISTS (
        SELECT 1
        FROM staged_read_as_corrected AS r
        SEMI JOIN workers AS w ON w.worker_id IS NOT DISTINCT FROM r.worker_id
    ) AS is_near
ORDER BY is_near
