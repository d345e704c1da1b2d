-- file_loaded_before: of a file of sheets whose lines were all new when this version of the program first loaded it, read in the same way: what its lines are now.
-- In:  $sha256 VARCHAR; $name VARCHAR, null where it decides nothing; $job VARCHAR, given for lines that name none; $layout VARCHAR; $program VARCHAR, the version that reads; $upto BIGINT, the last batch that counts
-- Out: lines_read BIGINT; left_out BIGINT; already_held BIGINT, of the lines read, held now or refused
WITH taken_out AS (
    SELECT l.file_batch, l.file_row
    FROM known_sheet_line($upto) AS l
    SEMI JOIN line_taken_out($upto) AS t ON t.line_batch = l.batch AND t.line_row = l.row
),

first_load AS (
    SELECT f.batch, f.row, f.lines_read, f.left_out
    FROM known_file($upto) AS f
    LEFT JOIN known_batch($upto) AS b ON b.sequence = f.batch
    ANTI JOIN taken_out AS t ON t.file_batch = f.batch AND t.file_row = f.row
    WHERE f.sha256 = $sha256
        AND f.kind = 'sheets'
        AND coalesce(f.name = $name::VARCHAR, true)
        AND f.default_job IS NOT DISTINCT FROM $job
        AND f.layout IS NOT DISTINCT FROM $layout
        AND f.already_booked + f.already_held = 0
        -- The batch being written is not sealed yet.
        AND coalesce(b.program_version = $program, true)
    QUALIFY row_number() OVER (ORDER BY f.batch, f.row) = 1
),

keys AS (
    SELECT line_key, batch, row
    FROM line_in_book($upto)
    UNION ALL
    SELECT line_key, line_batch AS batch, line_row AS row
    FROM known_corrected_line($upto)
    ANTI JOIN line_taken_out($upto) USING (line_batch, line_row)
),

waiting AS (
    SELECT k.line_key
    FROM known_line_outcome($upto) AS o
    INNER JOIN keys AS k ON k.batch = o.line_batch AND k.row = o.line_row
    GROUP BY k.line_key
    HAVING arg_max(o.outcome, (o.batch, o.row)) IN ('held', 'refused')
),

held AS (
    SELECT count(*) AS lines
    FROM known_sheet_line($upto) AS l
    SEMI JOIN first_load AS f ON f.batch = l.file_batch AND f.row = l.file_row
    SEMI JOIN waiting AS w ON w.line_key = l.line_key
)

SELECT f.lines_read, f.left_out, h.lines AS already_held
FROM first_load AS f
CROSS JOIN held AS h
ORDER BY f.lines_read
