-- entries_in_the_way: for reversed entries, the entries of the same sheet, worker and day that came in after them and stand.
-- In:  $ids VARCHAR[], of entries or of their reversals, as batch.row; $upto BIGINT, the last batch that counts
-- Out: id VARCHAR; entry VARCHAR; sheet VARCHAR; worker_id VARCHAR; day DATE; standing VARCHAR[], entries as batch.row
WITH taken_back AS (
    SELECT
        e.batch || '.' || e.row AS entry,
        r.batch || '.' || r.row AS reversal,
        e.line_batch,
        e.line_row,
        e.sheet,
        e.worker_id,
        e.day
    FROM stored_entry($upto) AS r
    INNER JOIN known_entry($upto) AS e ON e.batch = r.reverses_batch AND e.row = r.reverses_row
    ANTI JOIN stored_entry($upto) AS u ON u.reverses_batch = r.batch AND u.reverses_row = r.row
    WHERE e.reverses_batch IS NULL
        AND (e.batch || '.' || e.row IN (SELECT unnest($ids::VARCHAR[])) OR r.batch || '.' || r.row IN (SELECT unnest($ids::VARCHAR[])))
),

standing AS (
    SELECT e.batch, e.row, e.line_batch, e.line_row, e.sheet, e.worker_id, e.day
    FROM known_entry($upto) AS e
    SEMI JOIN taken_back AS t ON t.worker_id = e.worker_id AND t.day = e.day
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
),

files AS (
    SELECT l.batch, l.row, f.sha256
    FROM known_sheet_line($upto) AS l
    INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
),

-- Lines that one confirmed re-issue gives stand beside each other.
together AS (
    SELECT a.line_batch, a.line_row, b.line_batch AS other_batch, b.line_row AS other_row
    FROM reissue($upto) AS a
    INNER JOIN reissue($upto) AS b ON b.batch = a.batch AND b.reissue_row = a.reissue_row
    WHERE a.ended = 'confirmed'
)

SELECT
    CASE WHEN t.entry IN (SELECT unnest($ids::VARCHAR[])) THEN t.entry ELSE t.reversal END AS id,
    t.entry,
    t.sheet,
    t.worker_id,
    t.day,
    list(s.batch || '.' || s.row ORDER BY s.batch, s.row) AS standing
FROM taken_back AS t
INNER JOIN standing AS s
    ON sheet_alike(s.sheet) = sheet_alike(t.sheet)
    AND s.worker_id = t.worker_id
    AND s.day = t.day
    AND s.line_batch > t.line_batch
INNER JOIN files AS own ON own.batch = t.line_batch AND own.row = t.line_row
-- The same file loaded again gives both.
INNER JOIN files AS other ON other.batch = s.line_batch AND other.row = s.line_row AND other.sha256 <> own.sha256
ANTI JOIN together AS g
    ON g.line_batch = t.line_batch
    AND g.line_row = t.line_row
    AND g.other_batch = s.line_batch
    AND g.other_row = s.line_row
GROUP BY ALL
ORDER BY id
