-- entries_moved: the entries that a batch corrected, by where they stood and where they stand now.
-- In:  $batch BIGINT; $upto BIGINT, the last batch that counts
-- Out: place_from VARCHAR; place_to VARCHAR; entries BIGINT; ms_from DECIMAL(38,0), milliseconds; ms_to DECIMAL(38,0), milliseconds; entry VARCHAR, the first of them, as batch.row; now VARCHAR, the entry in its place
WITH corrected AS (
    SELECT r.reverses_batch AS old_batch, r.reverses_row AS old_row, -r.ms AS ms_from, n.batch, n.row, n.ms
    FROM stored_entry($upto) AS r
    INNER JOIN known_reversal($upto) AS t ON t.entry_batch = r.batch AND t.entry_row = r.row
    INNER JOIN known_entry($upto) AS n
        ON n.batch = r.batch AND n.line_batch = r.line_batch AND n.line_row = r.line_row AND n.reverses_batch IS NULL
    WHERE r.batch = $batch AND t.scope = 'correction'
),

both_sides AS (
    SELECT old_batch AS batch, old_row AS row FROM corrected
    UNION ALL
    SELECT batch, row FROM corrected
),

placed AS (
    SELECT
        p.entry_batch,
        p.entry_row,
        concat_ws(' ', p.job, p.booked_to, p.cause, 'rework ' || p.rework) AS place,
        sum(p.ms) AS ms,
        max((p.batch, p.row)) AS newest
    FROM known_posting($upto) AS p
    SEMI JOIN both_sides AS b ON b.batch = p.entry_batch AND b.row = p.entry_row
    GROUP BY ALL
),

-- An entry of no time stands where it was posted last.
standing AS (
    SELECT entry_batch, entry_row, string_agg(place, ', ' ORDER BY ms DESC, place) AS places
    FROM (
        SELECT *
        FROM placed
        QUALIFY ms <> 0
            OR (bool_and(ms = 0) OVER (PARTITION BY entry_batch, entry_row)
                AND row_number() OVER (PARTITION BY entry_batch, entry_row ORDER BY newest DESC) = 1)
    )
    GROUP BY entry_batch, entry_row
)

SELECT
    f.places AS place_from,
    t.places AS place_to,
    count(*) AS entries,
    sum(c.ms_from)::DECIMAL(38,0) AS ms_from,
    sum(c.ms)::DECIMAL(38,0) AS ms_to,
    arg_min(c.old_batch || '.' || c.old_row, (c.batch, c.row)) AS entry,
    arg_min(c.batch || '.' || c.row, (c.batch, c.row)) AS now
FROM corrected AS c
LEFT JOIN standing AS f ON f.entry_batch = c.old_batch AND f.entry_row = c.old_row
LEFT JOIN standing AS t ON t.entry_batch = c.batch AND t.entry_row = c.row
GROUP BY f.places, t.places
ORDER BY ms_to DESC, place_from, place_to
