-- entries_matched: the entries to be corrected that would then read as another line that is booked.
-- In:  none
-- Out: entry VARCHAR, as batch.row; match_told VARCHAR, file and line of the other
SELECT r.entry_batch || '.' || r.entry_row AS entry, k.match_told
FROM staged_parsed AS r
INNER JOIN staged_compared AS k ON k.line_batch = r.line_batch AND k.line_row = r.line_row
WHERE k.match_told IS NOT NULL
ORDER BY r.entry_batch, r.entry_row
