-- entries_known: entries of lines with worker, day, sheet and where they stand, reversals left out.
-- In:  $worker VARCHAR, null for all; $day DATE, null for all; $first_day DATE, null for all; $last_day DATE, null for all; $sheet VARCHAR, null for all; $file VARCHAR, null for all; $job VARCHAR, that they are booked to, null for all; $untagged BOOLEAN, only those that stand untagged; $upto BIGINT, the last batch that counts
-- Out: entry VARCHAR, as batch.row; day DATE; worker_id VARCHAR; ms BIGINT, milliseconds; booking_code VARCHAR; sheet VARCHAR; booked_to VARCHAR, the places it stands at; state VARCHAR, stands or reversed; file VARCHAR; line BIGINT
WITH chosen AS (
    SELECT *
    FROM known_entry($upto)
    WHERE reverses_batch IS NULL
        AND ($worker::VARCHAR IS NULL OR worker_id = $worker)
        AND ($day::DATE IS NULL OR day = $day)
        AND ($first_day::DATE IS NULL OR day >= $first_day)
        AND ($last_day::DATE IS NULL OR day <= $last_day)
        AND ($sheet::VARCHAR IS NULL OR sheet = $sheet)
),

of_file AS (
    SELECT l.batch, l.row, f.name, l.line
    FROM known_sheet_line($upto) AS l
    INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
    WHERE $file::VARCHAR IS NULL OR f.name = $file
),

placed AS (
    SELECT p.entry_batch, p.entry_row, p.job, p.booked_to, sum(p.ms) AS ms
    FROM known_posting($upto) AS p
    SEMI JOIN chosen AS c ON c.batch = p.entry_batch AND c.row = p.entry_row
    GROUP BY p.entry_batch, p.entry_row, p.job, p.booked_to
),

places AS (
    SELECT
        entry_batch,
        entry_row,
        string_agg(concat_ws(' ', job, booked_to), ', ' ORDER BY ms DESC, booked_to) AS booked_to,
        coalesce(bool_or(job = $job::VARCHAR), false) AS is_of_job,
        bool_or(booked_to = 'untagged') AS is_untagged
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
    l.name AS file,
    l.line
FROM chosen AS c
INNER JOIN of_file AS l ON l.batch = c.line_batch AND l.row = c.line_row
LEFT JOIN fixed AS f ON f.batch = c.batch AND f.row = c.row
LEFT JOIN places AS p ON p.entry_batch = c.batch AND p.entry_row = c.row
WHERE ($job::VARCHAR IS NULL OR p.is_of_job)
    AND (NOT $untagged OR (p.is_untagged AND f.batch IS NULL))
ORDER BY c.day, c.worker_id, c.batch, c.row
