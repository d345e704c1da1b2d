-- entries: entries whose time stands on a change, each with the file and line that it came from.
-- In:  $job VARCHAR; $change VARCHAR; $upto BIGINT, the last batch that counts
-- Out: entry VARCHAR, as batch.row; day DATE; worker VARCHAR; name VARCHAR; trade VARCHAR; rework VARCHAR; ms DECIMAL(38,0), milliseconds; code VARCHAR; sheet VARCHAR; file VARCHAR; line BIGINT; note VARCHAR
WITH posted AS (
    SELECT p.entry_batch, p.entry_row, p.rework, sum(p.ms)::DECIMAL(38,0) AS ms
    FROM known_posting($upto) AS p
    -- What was reversed, and its reversal, stand no more.
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = p.entry_batch AND f.row = p.entry_row
    WHERE p.job = $job AND p.booked_to = $change
    GROUP BY p.entry_batch, p.entry_row, p.rework
    HAVING sum(ms) <> 0
),

-- Of each worker the crew row of the day worked.
graded AS (
    SELECT p.*, e.day, e.worker_id, coalesce(e.trade, c.trade) AS trade, e.booking_code, e.sheet, e.note,
        e.line_batch, e.line_row
    FROM posted AS p
    INNER JOIN known_entry($upto) AS e ON e.batch = p.entry_batch AND e.row = p.entry_row
    LEFT JOIN current_crew($upto) AS c ON c.worker_id = e.worker_id
    QUALIFY row_number() OVER (
        PARTITION BY p.entry_batch, p.entry_row, p.rework
        ORDER BY
            c.active_from <= e.day DESC,
            CASE WHEN c.active_from <= e.day THEN c.active_from END DESC,
            c.active_from
    ) = 1
)

SELECT
    g.entry_batch || '.' || g.entry_row AS entry,
    g.day,
    g.worker_id AS worker,
    n.name,
    g.trade,
    g.rework,
    g.ms,
    g.booking_code AS code,
    g.sheet,
    f.name AS file,
    l.line,
    g.note
FROM graded AS g
INNER JOIN known_sheet_line($upto) AS l ON l.batch = g.line_batch AND l.row = g.line_row
LEFT JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
LEFT JOIN current_worker_name($upto) AS n ON n.worker_id = g.worker_id
ORDER BY g.day, g.entry_batch, g.entry_row, g.rework
