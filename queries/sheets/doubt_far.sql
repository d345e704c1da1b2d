-- doubt_far: files with lines of days far from those of most of their lines, and the days of these.
-- In:  $batch BIGINT, files of its entries, null for all; $far_days BIGINT, a gap of more is far; $upto BIGINT, the last batch that counts
-- Out: file_batch BIGINT; file_row BIGINT; first_day DATE; last_day DATE
WITH standing AS (
    SELECT e.line_batch, e.line_row, e.day
    FROM entry_time($upto) AS e
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
    WHERE $batch::BIGINT IS NULL OR e.line_batch IN (SELECT line_batch FROM entry_time($upto) WHERE batch = $batch::BIGINT)
),

batch_days AS (
    SELECT line_batch, day, day - lag(day) OVER (PARTITION BY line_batch ORDER BY day) AS gap
    FROM (SELECT DISTINCT line_batch, day FROM standing)
),

-- Lines of one file far from each other are so in its batch; of several files one may fill another's gap.
wide AS (
    SELECT d.line_batch
    FROM batch_days AS d
    INNER JOIN (SELECT batch, count(*) AS files FROM known_file($upto) GROUP BY batch) AS f ON f.batch = d.line_batch
    GROUP BY d.line_batch, f.files
    HAVING bool_or(d.gap > $far_days::BIGINT) OR f.files > 1 AND max(d.day) - min(d.day) > $far_days::BIGINT
),

days AS (
    SELECT l.file_batch, l.file_row, e.day, count(*) AS lines
    FROM standing AS e
    SEMI JOIN wide AS w ON w.line_batch = e.line_batch
    INNER JOIN known_sheet_line($upto) AS l ON l.batch = e.line_batch AND l.row = e.line_row
    GROUP BY l.file_batch, l.file_row, e.day
),

gaps AS (
    SELECT *, day - lag(day) OVER (PARTITION BY file_batch, file_row ORDER BY day) > $far_days::BIGINT AS is_far
    FROM days
),

stretches AS (
    SELECT
        file_batch,
        file_row,
        day,
        lines,
        sum(CASE WHEN is_far THEN 1 ELSE 0 END) OVER (PARTITION BY file_batch, file_row ORDER BY day) AS stretch
    FROM gaps
),

counted AS (
    SELECT file_batch, file_row, stretch, sum(lines) AS lines, min(day) AS first_day, max(day) AS last_day
    FROM stretches
    GROUP BY file_batch, file_row, stretch
)

SELECT file_batch, file_row, first_day, last_day
FROM counted
QUALIFY row_number() OVER (PARTITION BY file_batch, file_row ORDER BY lines DESC, last_day DESC) = 1
    AND count(*) OVER (PARTITION BY file_batch, file_row) > 1
ORDER BY file_batch, file_row
