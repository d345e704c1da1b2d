-- entries_differing: the entries to be corrected, with the lines that they are of.
-- In:  none
-- Out: entry_batch BIGINT; entry_row BIGINT; line_batch BIGINT; line_row BIGINT
SELECT entry_batch, entry_row, line_batch, line_row
FROM staged_parsed
ORDER BY entry_batch, entry_row
