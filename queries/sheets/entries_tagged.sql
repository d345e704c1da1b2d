-- entries_tagged: the entries that are tagged by hand now.
-- In:  none
-- Out: entry_batch BIGINT; entry_row BIGINT; line_batch BIGINT; line_row BIGINT
SELECT entry_batch, entry_row, line_batch, line_row
FROM staged_tag
WHERE state = 'tag'
ORDER BY entry_batch, entry_row
