-- corrections_astray: corrections of lines that did not end, or went on waiting, by the same batch.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; line_batch BIGINT; line_row BIGINT
WITH corrections AS (
    SELECT DISTINCT batch, line_batch, line_row
    FROM known_line_correction($upto)
)

SELECT c.batch, c.line_batch, c.line_row
FROM corrections AS c
LEFT JOIN known_line_outcome($upto) AS o
    ON o.batch = c.batch AND o.line_batch = c.line_batch AND o.line_row = c.line_row
WHERE o.outcome IS NULL
ORDER BY c.batch, c.line_batch, c.line_row
