-- had_left_out: the lines of the book that stand in known parts and were held when they were loaded.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT
SELECT h.batch AS line_batch, h.line_row
FROM known_held_text($upto) AS h
INNER JOIN staged_line_flagged AS f ON f.batch = h.batch AND f.row = h.line_row
WHERE f.is_known
ORDER BY line_batch, line_row
