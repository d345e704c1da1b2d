-- lines_without_end: sheet lines that are neither held nor ended nor were ever an entry.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT
SELECT l.batch AS line_batch, l.row AS line_row
FROM known_sheet_line($upto) AS l
ANTI JOIN known_entry($upto) AS e ON e.line_batch = l.batch AND e.line_row = l.row
ANTI JOIN line_standing($upto) AS o
    ON o.line_batch = l.batch AND o.line_row = l.row AND o.outcome IN ('held', 'refused', 'matched')
ORDER BY line_batch, line_row
