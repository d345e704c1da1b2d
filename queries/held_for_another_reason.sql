-- held_for_another_reason: held lines that are still held, for another reason than before.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; outcome VARCHAR; reason VARCHAR; message VARCHAR
SELECT r.line_batch, r.line_row, 'held' AS outcome, r.reason, r.message
FROM staged_reasoned AS r
INNER JOIN staged_held AS h ON h.line_batch = r.line_batch AND h.line_row = r.line_row
WHERE r.reason IS NOT NULL AND r.reason <> h.reason
ORDER BY r.line_batch, r.line_row
