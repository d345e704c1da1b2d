-- entries_standing: the entries named, each with what it reverses and what reverses it.
-- In:  $ids VARCHAR[], as batch.row; $upto BIGINT, the last batch that counts
-- Out: id VARCHAR; reverses VARCHAR; is_undone BOOLEAN, of a reversal; is_undoing BOOLEAN, of a reversal of a reversal; reversed_by VARCHAR, the reversal that stands; reversed_at TIMESTAMP, UTC; actor VARCHAR, who reversed it
WITH reversals AS (
    SELECT
        batch,
        row,
        batch || '.' || row AS id,
        reverses_batch || '.' || reverses_row AS reverses
    FROM known_entry($upto)
    WHERE reverses_batch IS NOT NULL
),

standing AS (
    SELECT r.id, r.reverses, b.recorded_at, b.actor
    FROM reversals AS r
    LEFT JOIN known_batch($upto) AS b ON b.sequence = r.batch
    ANTI JOIN reversals AS u ON u.reverses = r.id
),

named AS (
    SELECT batch || '.' || row AS id
    FROM known_entry($upto)
    WHERE batch || '.' || row IN (SELECT unnest($ids::VARCHAR[]))
)

SELECT
    n.id,
    r.reverses,
    r.id IS NOT NULL AND s.id IS NOT NULL AS is_undone,
    r.reverses IN (SELECT id FROM reversals) AS is_undoing,
    s.id AS reversed_by,
    s.recorded_at AS reversed_at,
    s.actor
FROM named AS n
LEFT JOIN reversals AS r ON r.id = n.id
LEFT JOIN standing AS s ON s.reverses = n.id
ORDER BY n.id
