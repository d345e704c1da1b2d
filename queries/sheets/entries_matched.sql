-- entries_matched: the entries to be corrected that would then read as another line that is booked.
-- In:  none
-- Out: entry VARCHAR, as batch.row; matched_line VARCHAR, file and line of the other
SELECT r.entry_batch || '.' || r.entry_row AS entry, k.matched_line
FROM staged_parsed AS r
INNER JOIN staged_compared AS k ON k.line_batch = r.line_batch AND k.line_row = r.line_row
WHERE k.matched_line IS NOT NULL
ORDER BY r.entry_batch, r.entry_row
