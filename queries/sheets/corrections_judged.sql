-- corrections_judged: the lines released or corrected, with what becomes of each.
-- In:  $ids VARCHAR[], of the lines as batch.row; $whys VARCHAR[]; $batch BIGINT, the batch being written; $last_entry_row BIGINT; $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; entry_row BIGINT; outcome VARCHAR, booked, matched or held; reason VARCHAR; message VARCHAR; sheet VARCHAR; worker_id VARCHAR; day DATE; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR
WITH typed AS (
    SELECT unnest($ids::VARCHAR[]) AS id, unnest($whys::VARCHAR[]) AS why
),

corrected AS (
    SELECT DISTINCT line_batch, line_row
    FROM known_line_correction($upto)
    WHERE batch = $batch
),

-- A line of a re-issue that is confirmed waits no more for an older one that brought it.
confirmed AS (
    SELECT line_batch, line_row
    FROM reissue($upto)
    WHERE ended = 'confirmed'
),

reissued AS (
    SELECT DISTINCT i.line_batch, i.line_row
    FROM waiting_reissued_line($upto) AS i
    ANTI JOIN confirmed AS c ON c.line_batch = i.line_batch AND c.line_row = i.line_row
),

file_lines AS (
    SELECT l.batch, l.row, f.name || ':' || l.line AS file_line
    FROM known_sheet_line($upto) AS l
    INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
),

placed AS (
    SELECT
        r.*,
        g.why,
        c.line_batch IS NOT NULL AS is_corrected,
        coalesce(k.matched_line, first_value(l.file_line) OVER same_line) AS matched_line,
        CASE
            WHEN s.line_batch IS NOT NULL THEN 'held'
            WHEN c.line_batch IS NOT NULL AND (k.matched_line IS NOT NULL OR row_number() OVER same_line > 1) THEN 'matched'
            ELSE 'booked'
        END AS outcome
    FROM staged_parsed AS r
    INNER JOIN typed AS g ON g.id = r.line_batch || '.' || r.line_row
    LEFT JOIN corrected AS c ON c.line_batch = r.line_batch AND c.line_row = r.line_row
    LEFT JOIN staged_compared AS k ON k.line_batch = r.line_batch AND k.line_row = r.line_row
    LEFT JOIN reissued AS s ON s.line_batch = r.line_batch AND s.line_row = r.line_row
    INNER JOIN file_lines AS l ON l.batch = r.line_batch AND l.row = r.line_row
    -- Of the lines of one command that read as one line the first is booked.
    WINDOW same_line AS (
        PARTITION BY CASE WHEN c.line_batch IS NULL OR s.line_batch IS NOT NULL THEN g.id
            ELSE k.alike || ' ' || k.occurrence END
        ORDER BY r.line_batch, r.line_row
    )
)

SELECT
    line_batch,
    line_row,
    CASE WHEN outcome = 'booked'
        THEN $last_entry_row::BIGINT + row_number() OVER (PARTITION BY outcome ORDER BY line_batch, line_row) END AS entry_row,
    outcome,
    CASE outcome
        WHEN 'matched' THEN 'matched'
        WHEN 'held' THEN 're_issue'
        ELSE CASE WHEN is_corrected THEN 'corrected' ELSE 'released' END
    END AS reason,
    why || CASE WHEN outcome = 'matched' THEN ' (same as ' || matched_line || ', which is booked)' ELSE '' END AS message,
    sheet,
    worker_id,
    day,
    ms,
    start_time,
    finish_time,
    break_minutes,
    booking_code,
    job_given,
    note,
    pay_class,
    trade,
    rework,
    approved_by
FROM placed
ORDER BY line_batch, line_row
