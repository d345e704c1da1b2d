-- sheet_days_given: the lines of a file, each with the line of the book that it is.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line BIGINT; line_key BLOB; outcome VARCHAR; reason VARCHAR; line_batch BIGINT; line_row BIGINT; job_given VARCHAR; sheet VARCHAR; worker_id VARCHAR; day DATE; booking_code VARCHAR
WITH keys AS (
    SELECT line_key, batch, row
    FROM line_in_book($upto)
    UNION ALL
    SELECT line_key, line_batch AS batch, line_row AS row
    FROM known_corrected_line($upto)
    ANTI JOIN line_taken_out($upto) USING (line_batch, line_row)
),

found AS (
    SELECT line_key, min(batch) AS batch, arg_min(row, (batch, row)) AS row
    FROM keys
    WHERE line_key IN (SELECT line_key FROM staged_first WHERE outcome IN ('already_booked', 'already_held'))
    GROUP BY line_key
)

-- A line that was corrected is of the sheet, worker and day that it stands for.
SELECT
    l.line,
    l.line_key,
    l.outcome,
    l.reason,
    coalesce(k.batch, l.line_batch) AS line_batch,
    coalesce(k.row, l.line_row) AS line_row,
    CASE WHEN h.line_batch IS NULL THEN l.job_given ELSE h.job_given END AS job_given,
    coalesce(h.sheet, l.sheet) AS sheet,
    coalesce(h.worker_id, l.worker_id) AS worker_id,
    coalesce(h.day, l.day) AS day,
    l.booking_code
FROM staged_first AS l
LEFT JOIN found AS k ON k.line_key = l.line_key
LEFT JOIN staged_sheet_had AS h ON h.line_batch = k.batch AND h.line_row = k.row
ORDER BY l.line
