-- lines_booked_twice: sheet lines that stand as more than one entry, or stand though they do not count.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT
WITH asked AS (
    -- A line without a later entry, that never waited and is not taken out, is booked once: as itself.
    SELECT line_batch, line_row
    FROM stored_entry($upto)
    UNION
    SELECT line_batch, line_row
    FROM line_standing($upto)
    UNION
    SELECT line_batch, line_row
    FROM line_taken_out($upto)
),

standing AS (
    SELECT e.line_batch, e.line_row, count(*) AS times
    FROM entry_time($upto) AS e
    SEMI JOIN asked AS a ON a.line_batch = e.line_batch AND a.line_row = e.line_row
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
    GROUP BY e.line_batch, e.line_row
)

SELECT s.line_batch, s.line_row
FROM standing AS s
LEFT JOIN line_standing($upto) AS o ON o.line_batch = s.line_batch AND o.line_row = s.line_row
LEFT JOIN (SELECT DISTINCT line_batch, line_row FROM line_taken_out($upto)) AS t
    ON t.line_batch = s.line_batch AND t.line_row = s.line_row
WHERE s.times > 1 OR o.outcome IN ('held', 'refused', 'matched') OR t.line_batch IS NOT NULL
ORDER BY s.line_batch, s.line_row
