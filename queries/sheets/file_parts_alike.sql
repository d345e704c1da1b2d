-- file_parts_alike: the parts of a file that files read in the same way have, none of whose lines left the book with its file or batch.
-- In:  $layout VARCHAR; $job VARCHAR, given for lines that name none; $program VARCHAR, the version that reads; $upto BIGINT, the last batch that counts
-- Out: part BIGINT; first_line BIGINT; lines BIGINT; batch BIGINT, of the file; file_row BIGINT; line_there BIGINT, the first in that file
WITH taken_out AS (
    SELECT l.file_batch, l.file_row
    FROM known_sheet_line($upto) AS l
    SEMI JOIN line_taken_out($upto) AS t ON t.line_batch = l.batch AND t.line_row = l.row
)

SELECT g.part, g.first_line, g.lines, p.batch, p.file_row, greatest(p.first_line, 2) AS line_there
FROM staged_new_file_part AS g
INNER JOIN known_file_part($upto) AS p ON p.sha256 = g.sha256
INNER JOIN known_file($upto) AS f ON f.batch = p.batch AND f.row = p.file_row
LEFT JOIN known_batch($upto) AS b ON b.sequence = f.batch
WHERE p.first_line IS NOT NULL
    AND f.kind = 'sheets'
    AND f.layout = $layout
    AND f.default_job IS NOT DISTINCT FROM $job
    -- The batch being written is not sealed yet.
    AND coalesce(b.program_version = $program, true)
    AND (f.batch, f.row) NOT IN (SELECT (file_batch, file_row) FROM taken_out)
ORDER BY g.part, p.batch, p.file_row, p.first_line
