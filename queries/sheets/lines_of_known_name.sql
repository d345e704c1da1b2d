-- lines_of_known_name: lines held for their worker's name that are booked lines, or ones booked with them, now that the name leads to one.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; outcome VARCHAR; reason VARCHAR; message VARCHAR
WITH readable AS (
    SELECT
        c.line_batch,
        c.line_row,
        c.alike,
        c.occurrence,
        c.matched_line,
        f.name || ':' || l.line AS file_line,
        o.reason = 'worker_unknown' AND k.worker_id IS NULL AS is_by_name
    FROM staged_compared AS c
    INNER JOIN staged_parsed AS p ON p.line_batch = c.line_batch AND p.line_row = c.line_row
    INNER JOIN line_standing($upto) AS o ON o.line_batch = c.line_batch AND o.line_row = c.line_row
    INNER JOIN known_line($upto) AS k ON k.batch = c.line_batch AND k.row = c.line_row
    INNER JOIN known_sheet_line($upto) AS l ON l.batch = c.line_batch AND l.row = c.line_row
    INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
    ANTI JOIN waiting_reissued_line($upto) AS i ON i.line_batch = c.line_batch AND i.line_row = c.line_row
    ANTI JOIN line_questioned($upto) AS q ON q.line_batch = c.line_batch AND q.line_row = c.line_row
    WHERE p.reason IS NULL
),

-- Of held lines that read as one line the first is booked, those by worker_id before those by name.
ranked AS (
    SELECT
        *,
        row_number() OVER same_line AS rank_in_line,
        first_value(file_line) OVER same_line AS first_of_same_line
    FROM readable
    WINDOW same_line AS (PARTITION BY alike, occurrence ORDER BY is_by_name, line_batch, line_row)
)

SELECT
    line_batch,
    line_row,
    'matched' AS outcome,
    'matched' AS reason,
    'its worker is now known; it is the same as ' || coalesce(matched_line, first_of_same_line) || ', which is booked' AS message
FROM ranked
WHERE is_by_name AND (matched_line IS NOT NULL OR rank_in_line > 1)
ORDER BY line_batch, line_row
