-- left_entries: the entries that are left to tag, each with its line and where it is booked now, the most time of a code first.
-- In:  $upto BIGINT, the last batch that counts
-- Out: entry VARCHAR, as batch.row; day DATE; worker_id VARCHAR; ms BIGINT, milliseconds left; booking_code VARCHAR; note VARCHAR; sheet VARCHAR; file VARCHAR; line BIGINT; booked_to VARCHAR, its places now; left_as VARCHAR, why it is left
WITH left_over AS (
    SELECT
        entry_batch,
        entry_row,
        sum(ms)::BIGINT AS ms,
        string_agg(DISTINCT coalesce(doubt, replace(why, '_', ' ')), '; ') AS left_as
    FROM staged_left
    GROUP BY entry_batch, entry_row
),

placed AS (
    SELECT p.entry_batch, p.entry_row, concat_ws(' ', p.job, p.booked_to, p.cause) AS place
    FROM known_posting($upto) AS p
    SEMI JOIN left_over USING (entry_batch, entry_row)
    GROUP BY p.entry_batch, p.entry_row, p.job, p.booked_to, p.cause
    HAVING sum(p.ms) <> 0
),

places AS (
    SELECT entry_batch, entry_row, string_agg(place, ', ' ORDER BY place) AS booked_to
    FROM placed
    GROUP BY entry_batch, entry_row
)

SELECT
    e.batch || '.' || e.row AS entry,
    e.day,
    e.worker_id,
    o.ms,
    e.booking_code,
    e.note,
    e.sheet,
    f.name AS file,
    l.line,
    p.booked_to,
    o.left_as
FROM left_over AS o
INNER JOIN known_entry($upto) AS e ON e.batch = o.entry_batch AND e.row = o.entry_row
INNER JOIN places AS p ON p.entry_batch = o.entry_batch AND p.entry_row = o.entry_row
INNER JOIN known_sheet_line($upto) AS l ON l.batch = e.line_batch AND l.row = e.line_row
INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
ORDER BY sum(o.ms) OVER (PARTITION BY e.booking_code) DESC, e.booking_code, e.day, e.worker_id, e.batch, e.row
