-- lines_same: the lines of a file that the book has already, each with the line that it is.
-- In:  none
-- Out: place BIGINT, in the file; line_batch BIGINT; line_row BIGINT; standing VARCHAR
WITH file_lines AS (
    SELECT
        place,
        line_alike(a) AS alike,
        line_alike_but_note(a) AS alike_but_note
    FROM staged_alike AS a
),

had AS (
    SELECT
        line_batch,
        line_row,
        standing,
        is_written,
        is_note_erased,
        line_alike(h) AS alike,
        line_alike_but_note(h) AS alike_but_note
    FROM staged_had AS h
    WHERE is_written OR is_now
),

-- The n-th of equal lines of a file is the n-th that the book has; few are equal to any other of their side, and only those
-- are numbered. Equal hashes bring them together; what is equal is decided by the fields.
file_line_twins AS (
    SELECT hash(alike) AS mark
    FROM file_lines
    GROUP BY mark
    HAVING count(*) > 1
),

file_lines_counted AS (
    SELECT g.place, g.alike, 1 AS occurrence
    FROM file_lines AS g
    ANTI JOIN file_line_twins AS t ON t.mark = hash(g.alike)
    UNION ALL
    SELECT g.place, g.alike, row_number() OVER (PARTITION BY g.alike ORDER BY g.place) AS occurrence
    FROM file_lines AS g
    SEMI JOIN file_line_twins AS t ON t.mark = hash(g.alike)
),

written_twin AS (
    SELECT hash(alike) AS mark
    FROM had
    WHERE is_written
    GROUP BY mark
    HAVING count(*) > 1
),

written_counted AS (
    SELECT h.line_batch, h.line_row, h.standing, h.alike, 1 AS occurrence
    FROM had AS h
    ANTI JOIN written_twin AS t ON t.mark = hash(h.alike)
    WHERE h.is_written
    UNION ALL
    SELECT
        h.line_batch,
        h.line_row,
        h.standing,
        h.alike,
        row_number() OVER (PARTITION BY h.alike ORDER BY h.line_batch, h.line_row) AS occurrence
    FROM had AS h
    SEMI JOIN written_twin AS t ON t.mark = hash(h.alike)
    WHERE h.is_written
),

as_written AS (
    SELECT g.place, h.line_batch, h.line_row, h.standing
    FROM file_lines_counted AS g
    INNER JOIN written_counted AS h ON h.alike = g.alike AND h.occurrence = g.occurrence
),

-- A corrected line that was not found as it was written is found as it reads now.
file_lines_left AS (
    SELECT g.place, g.alike, row_number() OVER (PARTITION BY g.alike ORDER BY g.place) AS occurrence
    FROM file_lines AS g
    SEMI JOIN (SELECT alike FROM had WHERE NOT is_written) AS h ON h.alike = g.alike
    ANTI JOIN as_written AS s ON s.place = g.place
),

corrected_left AS (
    SELECT h.line_batch, h.line_row, h.standing, h.alike, row_number() OVER (PARTITION BY h.alike ORDER BY h.line_batch, h.line_row) AS occurrence
    FROM had AS h
    ANTI JOIN as_written AS s ON s.line_batch = h.line_batch AND s.line_row = h.line_row
    WHERE NOT h.is_written
),

as_corrected AS (
    SELECT g.place, h.line_batch, h.line_row, h.standing
    FROM file_lines_left AS g
    INNER JOIN corrected_left AS h ON h.alike = g.alike AND h.occurrence = g.occurrence
),

-- A note that was erased is like any.
file_lines_of_erased AS (
    SELECT g.place, g.alike_but_note, row_number() OVER (PARTITION BY g.alike_but_note ORDER BY g.place) AS occurrence
    FROM file_lines AS g
    SEMI JOIN (SELECT alike_but_note FROM had WHERE is_note_erased) AS h ON h.alike_but_note = g.alike_but_note
    ANTI JOIN as_written AS s ON s.place = g.place
    ANTI JOIN as_corrected AS c ON c.place = g.place
),

erased_left AS (
    SELECT
        h.line_batch,
        h.line_row,
        h.standing,
        h.alike_but_note,
        row_number() OVER (PARTITION BY h.alike_but_note ORDER BY h.line_batch, h.line_row) AS occurrence
    FROM had AS h
    ANTI JOIN as_written AS s ON s.line_batch = h.line_batch AND s.line_row = h.line_row
    ANTI JOIN as_corrected AS c ON c.line_batch = h.line_batch AND c.line_row = h.line_row
    WHERE h.is_note_erased
),

as_erased AS (
    SELECT g.place, h.line_batch, h.line_row, h.standing
    FROM file_lines_of_erased AS g
    INNER JOIN erased_left AS h ON h.alike_but_note = g.alike_but_note AND h.occurrence = g.occurrence
)

SELECT place, line_batch, line_row, standing
FROM as_written
UNION ALL
SELECT place, line_batch, line_row, standing
FROM as_corrected
UNION ALL
SELECT place, line_batch, line_row, standing
FROM as_erased
ORDER BY place
