-- known_file_parts: the parts all lines of which were new in an earlier file under the same head.
-- In:  $upto BIGINT, the last batch that counts
-- Out: part BIGINT; first_line BIGINT; lines BIGINT; batch BIGINT, of the earlier file; file_row BIGINT; line_there BIGINT, the first in that file
WITH chosen AS (
    SELECT t.*
    FROM staged_file_part_alike AS t
    SEMI JOIN staged_file_alike AS f ON f.batch = t.batch AND f.file_row = t.file_row
    QUALIFY row_number() OVER (PARTITION BY t.part ORDER BY t.batch, t.file_row, t.line_there) = 1
),

new_lines AS (
    SELECT c.part, count(*) AS lines
    FROM known_line($upto) AS l
    ASOF JOIN chosen AS c ON c.batch = l.batch AND c.file_row = l.file_row AND c.line_there <= l.line
    WHERE l.line < c.line_there + c.lines
    GROUP BY c.part
)

SELECT c.part, c.first_line, c.lines, c.batch, c.file_row, c.line_there
FROM chosen AS c
INNER JOIN new_lines AS n ON n.part = c.part AND n.lines = c.lines
ORDER BY c.part
