-- loads_standing: loads of sheets by name or batch, each with what stands of it and what is held or rejected.
-- In:  $name VARCHAR, of the file, null for all; $digest VARCHAR, the start of its digest in small letters; $batch BIGINT, null for all; $upto BIGINT, the last batch that counts
-- Out: load VARCHAR, as batch.row; batch BIGINT; recorded_at TIMESTAMP, UTC; file VARCHAR; sha256 VARCHAR; entries BIGINT, that stand; ms DECIMAL(38,0), milliseconds; held BIGINT, lines held or rejected
WITH named AS (
    SELECT batch, row, name, sha256
    FROM known_file($upto)
    WHERE kind = 'sheets'
        AND ($name::VARCHAR IS NULL OR name = $name OR (length($name) >= 8 AND starts_with(sha256, $digest)))
        AND ($batch::BIGINT IS NULL OR batch = $batch)
),

lines AS (
    SELECT l.batch, l.row, l.file_batch, l.file_row
    FROM known_sheet_line($upto) AS l
    SEMI JOIN named AS n ON n.batch = l.file_batch AND n.row = l.file_row
),

standing AS (
    SELECT l.file_batch, l.file_row, count(*) AS entries, sum(e.ms) AS ms
    FROM lines AS l
    INNER JOIN known_entry($upto) AS e ON e.line_batch = l.batch AND e.line_row = l.row
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
    GROUP BY l.file_batch, l.file_row
),

waiting AS (
    SELECT l.file_batch, l.file_row, count(*) AS held
    FROM lines AS l
    INNER JOIN line_standing($upto) AS o ON o.line_batch = l.batch AND o.line_row = l.row
    WHERE o.outcome IN ('held', 'refused') AND o.reason NOT LIKE '%_reversed'
    GROUP BY l.file_batch, l.file_row
)

SELECT
    n.batch || '.' || n.row AS load,
    n.batch,
    b.recorded_at,
    n.name AS file,
    n.sha256,
    coalesce(s.entries, 0) AS entries,
    coalesce(s.ms, 0)::DECIMAL(38,0) AS ms,
    coalesce(w.held, 0) AS held
FROM named AS n
LEFT JOIN known_batch($upto) AS b ON b.sequence = n.batch
LEFT JOIN standing AS s ON s.file_batch = n.batch AND s.file_row = n.row
LEFT JOIN waiting AS w ON w.file_batch = n.batch AND w.file_row = n.row
ORDER BY n.batch, n.row
