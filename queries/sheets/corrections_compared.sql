-- corrections_compared: lines as they read now, each with the booked line of another file that it is.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; occurrence BIGINT, of equal lines of its file; alike BIGINT, a number for each line that reads otherwise; matched_line VARCHAR, file and line of the booked line, null of a line that is none
WITH lines AS (
    SELECT
        a.line_batch,
        a.line_row,
        l.file_batch,
        l.file_row,
        line_alike(a) AS alike
    FROM staged_alike AS a
    INNER JOIN known_sheet_line($upto) AS l ON l.batch = a.line_batch AND l.row = a.line_row
),

-- A line whose entry was reversed stands for no hours: nothing is matched with it.
booked AS (
    SELECT
        l.file_batch,
        l.file_row,
        f.name || ':' || l.line AS file_line,
        line_alike(h) AS alike
    FROM staged_had AS h
    INNER JOIN known_sheet_line($upto) AS l ON l.batch = h.line_batch AND l.row = h.line_row
    INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
    WHERE h.standing = 'stands'
),

booked_of_file AS (
    SELECT file_batch, file_row, alike, count(*) AS lines
    FROM booked
    GROUP BY file_batch, file_row, alike
),

booked_in_all AS (
    SELECT alike, count(*) AS lines
    FROM booked
    GROUP BY alike
),

counted AS (
    SELECT
        l.*,
        coalesce(b.lines, 0)
            + row_number() OVER (PARTITION BY l.file_batch, l.file_row, l.alike ORDER BY l.line_batch, l.line_row) AS occurrence
    FROM lines AS l
    LEFT JOIN booked_of_file AS b
        ON b.file_batch = l.file_batch AND b.file_row = l.file_row AND b.alike = l.alike
),

of_others AS (
    SELECT c.line_batch, c.line_row, min(b.file_line) AS file_line
    FROM counted AS c
    INNER JOIN booked AS b
        ON b.alike = c.alike AND (b.file_batch, b.file_row) <> (c.file_batch, c.file_row)
    GROUP BY c.line_batch, c.line_row
)

-- The n-th of equal lines of a file is booked already if n are.
SELECT
    c.line_batch,
    c.line_row,
    c.occurrence,
    dense_rank() OVER (ORDER BY c.alike) AS alike,
    CASE WHEN c.occurrence <= a.lines THEN o.file_line END AS matched_line
FROM counted AS c
LEFT JOIN booked_in_all AS a ON a.alike = c.alike
LEFT JOIN of_others AS o ON o.line_batch = c.line_batch AND o.line_row = c.line_row
ORDER BY c.line_batch, c.line_row
