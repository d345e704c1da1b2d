-- sealed_rows: the sealed rows behind the entries whose time stands on a change, with the reversals of what was corrected since.
-- In:  $job VARCHAR; $change VARCHAR; $upto BIGINT, the last batch that counts
-- Out: table_name VARCHAR; batch BIGINT; row BIGINT
WITH standing AS (
    SELECT entry_batch, entry_row, line_batch, line_row
    FROM standing_time($upto)
    WHERE job = $job AND booked_to = $change
),

lines AS (
    SELECT l.batch, l.row, l.what
    FROM known_line($upto) AS l
    SEMI JOIN standing AS s ON s.line_batch = l.batch AND s.line_row = l.row
)

SELECT 'line' AS table_name, batch, row FROM lines
UNION ALL
SELECT 'what' AS table_name, batch, row
FROM stored_what($upto)
WHERE number IN (SELECT what FROM lines)
UNION ALL
SELECT 'entry' AS table_name, e.batch, e.row
FROM stored_entry($upto) AS e
SEMI JOIN standing AS s ON s.entry_batch = e.batch AND s.entry_row = e.row
UNION ALL
SELECT 'entry' AS table_name, r.batch, r.row
FROM stored_entry($upto) AS r
SEMI JOIN lines AS l ON l.batch = r.line_batch AND l.row = r.line_row
WHERE r.reverses_batch IS NOT NULL
UNION ALL
SELECT 'posting' AS table_name, p.batch, p.row
FROM stored_posting($upto) AS p
SEMI JOIN standing AS s ON s.entry_batch = p.entry_batch AND s.entry_row = p.entry_row
WHERE p.job = $job AND p.booked_to = $change
ORDER BY ALL
