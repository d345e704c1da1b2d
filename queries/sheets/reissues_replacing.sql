-- reissues_replacing: the entries that a confirmed re-issue took back, with what stands of that re-issue on the same worker-day.
-- In:  $ids VARCHAR[], of entries or of their reversals, as batch.row; $upto BIGINT, the last batch that counts
-- Out: id VARCHAR; entry VARCHAR; reissue VARCHAR; sheet VARCHAR; file VARCHAR; standing VARCHAR[], entries as batch.row
WITH taken_back AS (
    SELECT e.batch || '.' || e.row AS entry, r.batch || '.' || r.row AS reversal, r.batch, e.sheet, e.worker_id, e.day
    FROM stored_entry($upto) AS r
    INNER JOIN known_entry($upto) AS e ON e.batch = r.reverses_batch AND e.row = r.reverses_row
    ANTI JOIN stored_entry($upto) AS u ON u.reverses_batch = r.batch AND u.reverses_row = r.row
    WHERE e.reverses_batch IS NULL
),

named AS (
    SELECT entry AS id, *
    FROM taken_back
    WHERE entry IN (SELECT unnest($ids::VARCHAR[]))
    UNION ALL
    SELECT reversal AS id, *
    FROM taken_back
    WHERE reversal IN (SELECT unnest($ids::VARCHAR[]))
),

replaced AS (
    SELECT
        n.id,
        n.entry,
        i.reissue,
        i.sheet,
        i.file_batch,
        i.file_row,
        i.line_batch,
        i.line_row,
        (l.file_batch, l.file_row) = (i.file_batch, i.file_row) AS is_own
    FROM named AS n
    INNER JOIN known_reissue_end($upto) AS d ON d.batch = n.batch AND d.ended = 'confirmed'
    INNER JOIN reissue($upto) AS i
        ON i.batch = d.reissue_batch
        AND i.reissue_row = d.reissue_row
        AND sheet_alike(i.sheet) = sheet_alike(n.sheet)
        AND i.worker_id = n.worker_id
        AND i.day = n.day
    INNER JOIN known_sheet_line($upto) AS l ON l.batch = i.line_batch AND l.row = i.line_row
),

standing AS (
    SELECT e.batch, e.row, e.line_batch, e.line_row
    FROM known_entry($upto) AS e
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
)

-- Lines that the re-issue brought stand for it; those it kept only where it brought none.
SELECT
    r.id,
    r.entry,
    r.reissue,
    any_value(r.sheet) AS sheet,
    any_value(f.name) AS file,
    list(s.batch || '.' || s.row ORDER BY s.batch, s.row) FILTER (WHERE s.batch IS NOT NULL) AS standing
FROM replaced AS r
INNER JOIN known_file($upto) AS f ON f.batch = r.file_batch AND f.row = r.file_row
LEFT JOIN standing AS s ON s.line_batch = r.line_batch AND s.line_row = r.line_row
GROUP BY r.id, r.entry, r.reissue
HAVING bool_or(r.is_own AND s.batch IS NOT NULL)
    OR (NOT bool_or(r.is_own) AND bool_or(s.batch IS NOT NULL))
ORDER BY r.id, r.reissue
