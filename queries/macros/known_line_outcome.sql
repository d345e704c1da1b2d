-- known_line_outcome: what became of lines that waited; a line held when it was loaded has row 0.
CREATE MACRO known_line_outcome(upto) AS TABLE
SELECT batch, 0 AS row, batch AS line_batch, line_row, 'held' AS outcome, reason, message
FROM known_held_text(upto)
UNION ALL
SELECT
    batch,
    row,
    line_batch,
    line_row,
    outcome,
    reason,
    CASE WHEN message IS NULL AND message_hash IS NOT NULL THEN 'erased' ELSE message END AS message
FROM line_outcome
WHERE batch <= upto
