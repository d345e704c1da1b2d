-- lines_without_end: sheet lines that are neither held nor ended nor were ever an entry.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT
SELECT l.batch AS line_batch, l.row AS line_row
FROM known_line($upto) AS l
-- A line that is not held is booked by its way to be booked, which its own batch has.
ANTI JOIN stored_what($upto) AS w ON w.number = l.what AND w.batch = l.batch
UNION ALL
SELECT l.batch AS line_batch, l.row AS line_row
FROM known_line($upto) AS l
SEMI JOIN (SELECT number FROM stored_what($upto) WHERE held IS NOT NULL) AS w ON w.number = l.what
ANTI JOIN stored_entry($upto) AS e ON e.line_batch = l.batch AND e.line_row = l.row
ANTI JOIN line_standing($upto) AS o
    ON o.line_batch = l.batch AND o.line_row = l.row AND o.outcome IN ('held', 'refused', 'matched')
UNION ALL
-- What is held has its text with it, for the same reason, and nothing else has one.
SELECT coalesce(l.batch, h.batch) AS line_batch, coalesce(l.row, h.line_row) AS line_row
FROM (
    SELECT l.batch, l.row, w.held
    FROM known_line($upto) AS l
    INNER JOIN (SELECT number, held FROM stored_what($upto) WHERE held IS NOT NULL) AS w ON w.number = l.what
) AS l
FULL JOIN known_held_text($upto) AS h ON h.batch = l.batch AND h.line_row = l.row AND h.reason = l.held
WHERE l.batch IS NULL OR h.batch IS NULL
ORDER BY line_batch, line_row
