-- sealed_rows: the sealed rows behind the entries whose time stands on a change.
-- In:  $job VARCHAR; $change VARCHAR; $upto BIGINT, the last batch that counts
-- Out: table_name VARCHAR; batch BIGINT; row BIGINT
WITH standing AS (
    SELECT p.entry_batch AS batch, p.entry_row AS row
    FROM known_posting($upto) AS p
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = p.entry_batch AND f.row = p.entry_row
    WHERE p.job = $job AND p.booked_to = $change
    GROUP BY p.entry_batch, p.entry_row
    HAVING sum(p.ms) <> 0
),

of_lines AS (
    SELECT DISTINCT e.line_batch AS batch, e.line_row AS row
    FROM known_entry($upto) AS e
    SEMI JOIN standing AS s ON s.batch = e.batch AND s.row = e.row
),

lines AS (
    SELECT l.batch, l.row, l.what
    FROM known_line($upto) AS l
    SEMI JOIN of_lines AS o ON o.batch = l.batch AND o.row = l.row
)

SELECT 'line' AS table_name, batch, row FROM lines
UNION ALL
SELECT 'what' AS table_name, batch, row
FROM stored_what($upto)
WHERE number IN (SELECT what FROM lines)
UNION ALL
SELECT 'entry' AS table_name, e.batch, e.row
FROM stored_entry($upto) AS e
SEMI JOIN standing AS s ON s.batch = e.batch AND s.row = e.row
UNION ALL
SELECT 'posting' AS table_name, p.batch, p.row
FROM stored_posting($upto) AS p
SEMI JOIN standing AS s ON s.batch = p.entry_batch AND s.row = p.entry_row
WHERE p.job = $job AND p.booked_to = $change
ORDER BY ALL
