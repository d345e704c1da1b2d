-- file_parts_of_lines: the parts of a file as it came, in order, those alone that lines wanted stand in and the first, or all.
-- In:  $batch BIGINT; $row BIGINT, of the file; $is_whole BOOLEAN, all are asked for; $upto BIGINT, the last batch that counts
-- Out: first_line BIGINT, null where parts do not end with lines; packing VARCHAR; data BLOB, null where it was erased
WITH parts AS (
    SELECT *, lead(first_line) OVER (ORDER BY part) AS next_line
    FROM known_file_part($upto)
    WHERE batch = $batch AND file_row = $row
),

wanted AS (
    SELECT p.part
    FROM parts AS p
    INNER JOIN staged_line_wanted AS w
        ON w.line_batch = p.batch
        AND w.file_row = p.file_row
        AND w.line >= p.first_line
        AND (p.next_line IS NULL OR w.line < p.next_line)
)

SELECT p.first_line, c.packing, c.data
FROM parts AS p
LEFT JOIN known_content($upto) AS c ON c.sha256 = p.sha256
WHERE $is_whole::BOOLEAN OR p.part = 1 OR p.part IN (SELECT part FROM wanted)
ORDER BY p.part
