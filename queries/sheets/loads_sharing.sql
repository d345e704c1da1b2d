-- loads_sharing: the files that may share lines with the loads chosen: lines of theirs were counted as in the book, or ended as booked, since.
-- In:  $upto BIGINT, the last batch that counts
-- Out: file VARCHAR; is_counted BOOLEAN, when it was loaded; else held lines of it ended so
WITH first AS (
    SELECT file_batch, file_row
    FROM staged_load_chosen
    ORDER BY file_batch, file_row
    LIMIT 1
),

others AS (
    SELECT f.*
    FROM known_file($upto) AS f
    ANTI JOIN (
        SELECT g.sha256
        FROM known_file($upto) AS g
        SEMI JOIN staged_load_chosen AS c ON c.file_batch = g.batch AND c.file_row = g.row
    ) AS s ON s.sha256 = f.sha256
    WHERE f.kind = 'sheets'
),

sharing AS (
    SELECT o.name AS file, true AS is_counted
    FROM others AS o
    CROSS JOIN first AS c
    WHERE o.already_booked + o.already_held > 0 AND (o.batch, o.row) > (c.file_batch, c.file_row)
    UNION ALL
    SELECT o.name AS file, false AS is_counted
    FROM line_standing($upto) AS s
    INNER JOIN known_sheet_line($upto) AS l ON l.batch = s.line_batch AND l.row = s.line_row
    INNER JOIN others AS o ON o.batch = l.file_batch AND o.row = l.file_row
    CROSS JOIN first AS c
    WHERE s.outcome = 'matched' AND s.batch >= c.file_batch
)

SELECT file, bool_or(is_counted) AS is_counted
FROM sharing
GROUP BY file
ORDER BY file
