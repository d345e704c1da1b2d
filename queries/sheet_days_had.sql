-- sheet_days_had: the lines that the sheets and worker-days of a file have in the book: entries that stand, and held lines.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; held_for VARCHAR, null of an entry; job_given VARCHAR; sheet VARCHAR; worker_id VARCHAR; day DATE; booking_code VARCHAR
WITH given AS (
    SELECT DISTINCT job_given, sheet, worker_id, day
    FROM staged_first
    WHERE sheet IS NOT NULL AND worker_id IS NOT NULL AND day IS NOT NULL
),

had AS (
    SELECT e.line_batch, e.line_row, NULL::VARCHAR AS held_for, e.job_given, e.sheet, e.worker_id, e.day, e.booking_code
    FROM known_entry($upto) AS e
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
    WHERE e.sheet IS NOT NULL
    UNION ALL
    SELECT h.line_batch, h.line_row, h.reason AS held_for, h.job_given, h.sheet, h.worker_id, h.day, h.booking_code
    FROM staged_held_read AS h
    ANTI JOIN waiting_reissued_line($upto) AS o ON o.line_batch = h.line_batch AND o.line_row = h.line_row
)

SELECT h.line_batch, h.line_row, h.held_for, h.job_given, h.sheet, h.worker_id, h.day, h.booking_code
FROM had AS h
SEMI JOIN given AS g
    ON g.sheet = h.sheet
    AND g.worker_id = h.worker_id
    AND g.day = h.day
    AND g.job_given IS NOT DISTINCT FROM h.job_given
ORDER BY h.line_batch, h.line_row
