-- lines_near: whether the book has a line that one of the parsed lines may be: an entry of its worker and day, or a line read to compare.
-- In:  $upto BIGINT, the last batch that counts
-- Out: is_near BOOLEAN
WITH workers AS (
    SELECT DISTINCT worker_id
    FROM staged_parsed
),

span AS (
    SELECT min(day) AS first_day, max(day) AS last_day
    FROM staged_parsed
),

-- Of many entries few are within the days of the file: those are what its lines are held against.
entries AS (
    SELECT e.worker_id, e.day
    FROM entry_time($upto) AS e
    SEMI JOIN workers AS w ON w.worker_id = e.worker_id
    INNER JOIN span AS s ON e.day BETWEEN s.first_day AND s.last_day
),

read AS (
    SELECT worker_id, date_text
    FROM staged_read_as_written
    UNION ALL
    SELECT worker_id, date_text
    FROM staged_read_as_corrected
)

SELECT
    EXISTS (
        SELECT 1
        FROM staged_parsed AS p
        SEMI JOIN entries AS e ON e.worker_id = p.worker_id AND e.day = p.day
    )
    OR EXISTS (
        SELECT 1
        FROM staged_parsed AS p
        SEMI JOIN read AS r
            ON r.worker_id IS NOT DISTINCT FROM p.worker_id
            AND r.date_text IS NOT DISTINCT FROM coalesce(p.day::VARCHAR, p.date_text)
    ) AS is_near
ORDER BY is_near
