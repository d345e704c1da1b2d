-- lines_reissued_by_name: the worker-days of sheets with lines held for their worker's name that have other lines in other files, now that the name leads to one.
-- In:  $upto BIGINT, the last batch that counts
-- Out: file_batch BIGINT; file_row BIGINT; line BIGINT; sheet VARCHAR; worker_id VARCHAR; day DATE; line_batch BIGINT; line_row BIGINT
WITH waiting AS (
    SELECT DISTINCT line_batch, line_row
    FROM waiting_reissued_line($upto)
),

lines AS (
    SELECT
        h.line_batch,
        h.line_row,
        l.file_batch,
        l.file_row,
        l.line,
        h.sheet,
        h.sheet_name,
        h.worker_id,
        h.date_text,
        line_alike(h) AS alike,
        coalesce(o.outcome = 'matched', false) AS is_matched,
        i.line_batch IS NOT NULL AS is_waiting,
        coalesce(o.reason = 'worker_unknown' AND k.worker_id IS NULL AND p.line_batch IS NOT NULL, false) AS is_by_name
    FROM staged_had AS h
    INNER JOIN known_sheet_line($upto) AS l ON l.batch = h.line_batch AND l.row = h.line_row
    INNER JOIN known_line($upto) AS k ON k.batch = h.line_batch AND k.row = h.line_row
    LEFT JOIN line_standing($upto) AS o ON o.line_batch = h.line_batch AND o.line_row = h.line_row
    LEFT JOIN staged_parsed AS p ON p.line_batch = h.line_batch AND p.line_row = h.line_row AND p.reason IS NULL
    LEFT JOIN waiting AS i ON i.line_batch = h.line_batch AND i.line_row = h.line_row
    WHERE h.is_now AND h.standing IN ('stands', 'held') AND h.sheet IS NOT NULL
),

-- Of two files by name the later is the re-issue; beside lines by worker_id the one by name is.
reissued AS (
    SELECT DISTINCT n.file_batch, n.file_row, n.sheet, n.worker_id, n.date_text
    FROM lines AS n
    INNER JOIN lines AS o
        ON o.sheet = n.sheet
        AND o.worker_id = n.worker_id
        AND o.date_text = n.date_text
        AND (o.file_batch, o.file_row) <> (n.file_batch, n.file_row)
    WHERE n.is_by_name
        AND NOT (n.is_waiting OR o.is_waiting OR o.is_matched)
        AND (NOT o.is_by_name OR (o.file_batch, o.file_row) < (n.file_batch, n.file_row))
),

of_days AS (
    SELECT l.*, row_number() OVER (PARTITION BY l.file_batch, l.file_row, l.alike, l.is_matched ORDER BY l.line_batch, l.line_row) AS occurrence
    FROM lines AS l
    SEMI JOIN reissued AS r
        ON r.file_batch = l.file_batch
        AND r.file_row = l.file_row
        AND r.sheet = l.sheet
        AND r.worker_id = l.worker_id
        AND r.date_text = l.date_text
),

-- A line that ended as a booked one stands for that.
booked AS (
    SELECT line_batch, line_row, alike, row_number() OVER (PARTITION BY alike ORDER BY line_batch, line_row) AS occurrence
    FROM lines
    WHERE NOT (is_matched OR is_waiting)
)

SELECT
    d.file_batch,
    d.file_row,
    d.line,
    min(d.sheet_name) OVER (PARTITION BY d.file_batch, d.file_row, d.sheet) AS sheet,
    d.worker_id,
    TRY_CAST(d.date_text AS DATE) AS day,
    coalesce(b.line_batch, d.line_batch) AS line_batch,
    coalesce(b.line_row, d.line_row) AS line_row
FROM of_days AS d
LEFT JOIN booked AS b ON d.is_matched AND b.alike = d.alike AND b.occurrence = d.occurrence
ORDER BY d.file_batch, d.file_row, d.line
