-- corrections_not_paired: entries corrected without a new entry of their line in the same batch, and lines booked anew without.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT
WITH corrections AS (
    SELECT e.batch, e.line_batch, e.line_row, e.reverses_batch, e.reverses_row
    FROM stored_entry($upto) AS e
    INNER JOIN known_reversal($upto) AS t ON t.entry_batch = e.batch AND t.entry_row = e.row
    WHERE t.scope = 'correction'
),

several AS (
    SELECT line_batch, line_row
    FROM known_entry($upto)
    SEMI JOIN (SELECT line_batch, line_row FROM stored_entry($upto)) USING (line_batch, line_row)
    WHERE reverses_batch IS NULL
    GROUP BY line_batch, line_row
    HAVING count(*) > 1
),

-- Each entry of a line after its first, with the one before it.
booked_anew AS (
    SELECT
        batch,
        line_batch,
        line_row,
        lag(batch) OVER (PARTITION BY line_batch, line_row ORDER BY batch, row) AS before_batch,
        lag(row) OVER (PARTITION BY line_batch, line_row ORDER BY batch, row) AS before_row
    FROM known_entry($upto)
    SEMI JOIN several USING (line_batch, line_row)
    WHERE reverses_batch IS NULL
    QUALIFY before_batch IS NOT NULL
)

SELECT coalesce(c.line_batch, n.line_batch) AS line_batch, coalesce(c.line_row, n.line_row) AS line_row
FROM corrections AS c
FULL JOIN booked_anew AS n
    ON n.batch = c.batch
    AND n.line_batch = c.line_batch
    AND n.line_row = c.line_row
    AND n.before_batch = c.reverses_batch
    AND n.before_row = c.reverses_row
WHERE c.batch IS NULL OR n.batch IS NULL
ORDER BY line_batch, line_row
