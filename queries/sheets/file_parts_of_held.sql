-- file_parts_of_held: the parts of files in which held lines named stand; all parts where these do not end with lines.
-- In:  $ids VARCHAR[], as table:batch.row; $upto BIGINT, the last batch that counts
-- Out: id VARCHAR, of the part
WITH held AS (
    SELECT
        l.batch,
        l.file_row,
        l.line,
        -- Cells may go on over several lines.
        l.line + (length(h.raw) - length(replace(h.raw, '\n', ''))) // 2 AS last_line
    FROM known_held_text($upto) AS h
    INNER JOIN known_line($upto) AS l ON l.batch = h.batch AND l.row = h.line_row
    WHERE 'held_text:' || h.batch || '.' || h.row IN (SELECT unnest($ids::VARCHAR[]))
),

parts AS (
    SELECT
        *,
        lead(first_line) OVER (PARTITION BY batch, file_row ORDER BY part) AS next_line
    FROM known_file_part($upto)
)

SELECT DISTINCT 'file_part:' || p.batch || '.' || p.row AS id
FROM parts AS p
INNER JOIN held AS h ON h.batch = p.batch AND h.file_row = p.file_row
WHERE p.first_line IS NULL OR (p.first_line <= h.last_line AND coalesce(h.line < p.next_line, true))
ORDER BY id
