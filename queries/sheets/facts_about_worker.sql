-- facts_about_worker: what belongs to a worker's lines and stands under no id of theirs: notes, held texts, corrections, and the files they came in.
-- In:  $worker VARCHAR; $upto BIGINT, the last batch that counts
-- Out: table_name VARCHAR; batch BIGINT; row BIGINT
WITH lines AS (
    SELECT batch, row, file_row, note
    FROM known_line($upto)
    WHERE worker_id = $worker
)

SELECT DISTINCT 'note' AS table_name, batch, note AS row
FROM lines
WHERE note IS NOT NULL
UNION ALL
SELECT 'held_text' AS table_name, h.batch, h.row
FROM known_held_text($upto) AS h
SEMI JOIN lines AS l ON l.batch = h.batch AND l.row = h.line_row
UNION ALL
SELECT 'line_correction' AS table_name, c.batch, c.row
FROM known_line_correction($upto) AS c
SEMI JOIN lines AS l ON l.batch = c.line_batch AND l.row = c.line_row
UNION ALL
SELECT DISTINCT 'file' AS table_name, batch, file_row AS row
FROM lines
ORDER BY table_name, batch, row
