-- held_still: a held text whose line is still held, as one row; none for any other.
-- In:  $batch BIGINT; $row BIGINT; $upto BIGINT, the last batch that counts
-- Out: line_row BIGINT
SELECT h.line_row
FROM known_held_text($upto) AS h
INNER JOIN line_standing($upto) AS o ON o.line_batch = h.batch AND o.line_row = h.line_row
WHERE h.batch = $batch AND h.row = $row AND o.outcome = 'held'
ORDER BY h.line_row
