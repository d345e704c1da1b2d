-- entries: entries whose time stands on a change, each with the file and line that it came from.
-- In:  $job VARCHAR; $change VARCHAR; $upto BIGINT, the last batch that counts
-- Out: entry VARCHAR, as batch.row; day DATE; worker VARCHAR; name VARCHAR; trade VARCHAR; rework VARCHAR; ms DECIMAL(38,0), milliseconds; code VARCHAR; sheet VARCHAR; file VARCHAR; line BIGINT; note VARCHAR
-- Of each worker the crew row of the day worked.
WITH graded AS (
    SELECT s.*, e.day, e.worker_id, coalesce(e.trade, c.trade) AS trade, e.booking_code, e.sheet, e.note
    FROM standing_time($upto) AS s
    INNER JOIN known_entry($upto) AS e ON e.batch = s.entry_batch AND e.row = s.entry_row
    LEFT JOIN current_crew($upto) AS c ON c.worker_id = e.worker_id
    WHERE s.job = $job AND s.booked_to = $change
    QUALIFY row_number() OVER (
        PARTITION BY s.entry_batch, s.entry_row, s.rework
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
    g.ms::DECIMAL(38,0) AS ms,
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
