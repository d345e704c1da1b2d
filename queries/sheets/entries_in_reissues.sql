-- entries_in_reissues: the open re-issues that the entries to be corrected are, or would be, part of.
-- In:  $upto BIGINT, the last batch that counts
-- Out: reissue VARCHAR; file VARCHAR; sheet VARCHAR; entries BIGINT; entry VARCHAR, the first, as batch.row
WITH waiting AS (
    SELECT DISTINCT reissue, file_batch, file_row, sheet, worker_id, day
    FROM open_reissued_line($upto)
),

-- Where the entries stand now, and where they would stand.
sheet_days AS (
    SELECT c.entry_batch, c.entry_row, e.sheet, e.worker_id, e.day
    FROM staged_entry_chosen AS c
    INNER JOIN known_entry($upto) AS e ON e.batch = c.entry_batch AND e.row = c.entry_row
    UNION
    SELECT entry_batch, entry_row, sheet, worker_id, day
    FROM staged_parsed
),

touched AS (
    SELECT c.entry_batch, c.entry_row, o.reissue, o.file_batch, o.file_row, o.sheet
    FROM staged_entry_chosen AS c
    INNER JOIN open_reissued_line($upto) AS o ON o.line_batch = c.line_batch AND o.line_row = c.line_row
    UNION
    SELECT d.entry_batch, d.entry_row, w.reissue, w.file_batch, w.file_row, w.sheet
    FROM sheet_days AS d
    INNER JOIN waiting AS w
        ON sheet_alike(w.sheet) = sheet_alike(d.sheet)
        AND w.worker_id = d.worker_id
        AND w.day = d.day
)

SELECT
    t.reissue,
    any_value(f.name) AS file,
    any_value(t.sheet) AS sheet,
    count(*) AS entries,
    arg_min(t.entry_batch || '.' || t.entry_row, (t.entry_batch, t.entry_row)) AS entry
FROM touched AS t
INNER JOIN known_file($upto) AS f ON f.batch = t.file_batch AND f.row = t.file_row
GROUP BY t.reissue
ORDER BY t.reissue
