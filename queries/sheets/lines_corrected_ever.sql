-- lines_corrected_ever: the lines that were corrected.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT
SELECT DISTINCT line_batch, line_row
FROM known_line_correction($upto)
ORDER BY line_batch, line_row
