-- stretches_known: the known parts of a file, those that follow each other in both files as one.
-- In:  none
-- Out: batch BIGINT, of the earlier file; file_row BIGINT; line_there BIGINT, the first in that file; lines BIGINT; first_line BIGINT, in the file that is loaded
WITH numbered AS (
    SELECT
        *,
        line_there - sum(lines) OVER (PARTITION BY batch, file_row ORDER BY line_there) + lines AS stretch,
        first_line - line_there AS further
    FROM staged_known_file_part
)

SELECT
    batch,
    file_row,
    min(line_there) AS line_there,
    sum(lines)::BIGINT AS lines,
    min(first_line) AS first_line
FROM numbered
GROUP BY batch, file_row, stretch, further
ORDER BY batch, file_row, line_there
