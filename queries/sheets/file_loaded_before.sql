-- file_loaded_before: of a file of sheets whose lines were all new when this version of the program first loaded it, read in the same way: what its lines are now.
-- In:  $sha256 VARCHAR; $name VARCHAR, null where it decides nothing; $job VARCHAR, given for lines that name none; $layout VARCHAR; $program VARCHAR, the version that reads; $upto BIGINT, the last batch that counts
-- Out: lines_read BIGINT; left_out BIGINT; already_held BIGINT, of the lines read, held now or refused
WITH loads AS (
    SELECT f.batch, f.row, f.lines_read, f.left_out
    FROM known_file($upto) AS f
    LEFT JOIN known_batch($upto) AS b ON b.sequence = f.batch
    WHERE f.sha256 = $sha256
        AND f.kind = 'sheets'
        AND coalesce(f.name = $name::VARCHAR, true)
        AND f.default_job IS NOT DISTINCT FROM $job
        AND f.layout IS NOT DISTINCT FROM $layout
        AND f.already_booked + f.already_held = 0
        -- The batch being written is not sealed yet.
        AND coalesce(b.program_version = $program, true)
),

-- Lines that may be those of another file are compared anew, and those that left the book too.
to_compare AS (
    SELECT l.file_batch, l.file_row
    FROM known_sheet_line($upto) AS l
    SEMI JOIN loads AS f ON f.batch = l.file_batch AND f.row = l.file_row
    WHERE (l.batch, l.row) IN (
        SELECT (line_batch, line_row)
        FROM line_taken_out($upto)
        UNION ALL
        SELECT (line_batch, line_row)
        FROM known_line_outcome($upto)
        WHERE reason IN ('job_differs', 'times_differ', 'same_as_sheet', 'matched')
    )
),

first_load AS (
    SELECT f.*
    FROM loads AS f
    ANTI JOIN to_compare AS c ON c.file_batch = f.batch AND c.file_row = f.row
    QUALIFY row_number() OVER (ORDER BY f.batch, f.row) = 1
),

held AS (
    SELECT count(*) AS lines
    FROM known_sheet_line($upto) AS l
    SEMI JOIN first_load AS f ON f.batch = l.file_batch AND f.row = l.file_row
    INNER JOIN line_standing($upto) AS o ON o.line_batch = l.batch AND o.line_row = l.row
    WHERE o.outcome IN ('held', 'refused')
)

SELECT f.lines_read, f.left_out, h.lines AS already_held
FROM first_load AS f
CROSS JOIN held AS h
ORDER BY f.lines_read
