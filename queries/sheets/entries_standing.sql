-- entries_standing: the entries named, each with what it reverses, what reverses it, and its line.
-- In:  $ids VARCHAR[], as batch.row; $upto BIGINT, the last batch that counts
-- Out: id VARCHAR; reverses VARCHAR; is_undone BOOLEAN, of a reversal; is_undoing BOOLEAN, of a reversal of a reversal; reversed_by VARCHAR, the reversal that stands; reversed_at TIMESTAMP, UTC; actor VARCHAR, who reversed it; scope VARCHAR, what its reversal, or the reversal that it is, was part of; newest VARCHAR, the entry that its line was booked as last; sheet VARCHAR; file VARCHAR; line BIGINT
WITH reversals AS (
    SELECT
        e.batch,
        e.row,
        e.batch || '.' || e.row AS id,
        e.reverses_batch || '.' || e.reverses_row AS reverses,
        t.scope
    FROM known_entry($upto) AS e
    LEFT JOIN known_reversal($upto) AS t ON t.entry_batch = e.batch AND t.entry_row = e.row
    WHERE e.reverses_batch IS NOT NULL
),

standing AS (
    SELECT r.id, r.reverses, r.scope, b.recorded_at, b.actor
    FROM reversals AS r
    LEFT JOIN known_batch($upto) AS b ON b.sequence = r.batch
    ANTI JOIN reversals AS u ON u.reverses = r.id
),

named AS (
    SELECT batch || '.' || row AS id, line_batch, line_row, sheet
    FROM known_entry($upto)
    WHERE batch || '.' || row IN (SELECT unnest($ids::VARCHAR[]))
),

booked AS (
    SELECT line_batch, line_row, arg_max(batch || '.' || row, (batch, row)) AS newest
    FROM known_entry($upto)
    SEMI JOIN named USING (line_batch, line_row)
    WHERE reverses_batch IS NULL
    GROUP BY line_batch, line_row
)

SELECT
    n.id,
    r.reverses,
    r.id IS NOT NULL AND s.id IS NOT NULL AS is_undone,
    r.reverses IN (SELECT id FROM reversals) AS is_undoing,
    s.id AS reversed_by,
    s.recorded_at AS reversed_at,
    s.actor,
    coalesce(s.scope, r.scope) AS scope,
    o.newest,
    n.sheet,
    f.name AS file,
    l.line
FROM named AS n
LEFT JOIN reversals AS r ON r.id = n.id
LEFT JOIN standing AS s ON s.reverses = n.id
LEFT JOIN booked AS o ON o.line_batch = n.line_batch AND o.line_row = n.line_row
LEFT JOIN known_sheet_line($upto) AS l ON l.batch = n.line_batch AND l.row = n.line_row
LEFT JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
ORDER BY n.id
