-- entries_known: entries of lines with worker, day, sheet and where they stand, reversals left out.
-- In:  $worker VARCHAR, null for all; $day DATE, null for all; $sheet VARCHAR, null for all; $upto BIGINT, the last batch that counts
-- Out: entry VARCHAR, as batch.row; day DATE; worker_id VARCHAR; ms BIGINT, milliseconds; booking_code VARCHAR; sheet VARCHAR; booked_to VARCHAR, the places it stands at; state VARCHAR, stands or reversed; file VARCHAR; line BIGINT
WITH chosen AS (
    SELECT *
    FROM known_entry($upto)
    WHERE reverses_batch IS NULL
        AND ($worker::VARCHAR IS NULL OR worker_id = $worker)
        AND ($day::DATE IS NULL OR day = $day)
        AND ($sheet::VARCHAR IS NULL OR sheet = $sheet)
),

placed AS (
    SELECT p.entry_batch, p.entry_row, p.job, p.booked_to, sum(p.ms) AS ms
    FROM known_posting($upto) AS p
    SEMI JOIN chosen AS c ON c.batch = p.entry_batch AND c.row = p.entry_row
    GROUP BY p.entry_batch, p.entry_row, p.job, p.booked_to
),

places AS (
    SELECT entry_batch, entry_row, string_agg(concat_ws(' ', job, booked_to), ', ' ORDER BY ms DESC, booked_to) AS booked_to
    FROM placed
    WHERE ms <> 0
    GROUP BY entry_batch, entry_row
),

fixed AS (
    SELECT DISTINCT batch, row
    FROM fixed_entry($upto)
)

SELECT
    c.batch || '.' || c.row AS entry,
    c.day,
    c.worker_id,
    c.ms,
    c.booking_code,
    c.sheet,
    CASE WHEN f.batch IS NULL THEN p.booked_to END AS booked_to,
    CASE WHEN f.batch IS NULL THEN 'stands' ELSE 'reversed' END AS state,
    g.name AS file,
    l.line
FROM chosen AS c
LEFT JOIN fixed AS f ON f.batch = c.batch AND f.row = c.row
LEFT JOIN places AS p ON p.entry_batch = c.batch AND p.entry_row = c.row
LEFT JOIN known_sheet_line($upto) AS l ON l.batch = c.line_batch AND l.row = c.line_row
LEFT JOIN known_file($upto) AS g ON g.batch = l.file_batch AND g.row = l.file_row
ORDER BY c.day, c.worker_id, c.batch, c.row
