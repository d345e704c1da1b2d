-- corrections_unread: the lines that cannot be booked as they read now, with the reason.
-- In:  none
-- Out: id VARCHAR, as batch.row; reason VARCHAR; message VARCHAR
SELECT line_batch || '.' || line_row AS id, reason, message
FROM staged_parsed
WHERE reason IS NOT NULL
ORDER BY line_batch, line_row
