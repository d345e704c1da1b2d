-- doubt_entries: entries that stand and may raise a doubt, with file, line, place and clock times.
-- In:  $batch BIGINT, whose entry stands for a day where one does, null where none does; $upto BIGINT, the last batch that counts
-- Out: entry VARCHAR, as batch.row; batch BIGINT; row BIGINT; recorded_at TIMESTAMP, UTC; worker_id VARCHAR; day DATE; ms BIGINT, milliseconds; start_at TIMESTAMP; finish_at TIMESTAMP, of the next day where it is not after the start; clocked_ms BIGINT, finish less start less break; booking_code VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; handed_in VARCHAR, the sheet, without one the file; file_id VARCHAR; file VARCHAR; line BIGINT
-- Kept as it is read, or all its columns would be put aside for all entries.
WITH standing AS NOT MATERIALIZED (
    SELECT e.*
    FROM known_entry($upto) AS e
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
),

-- An entry that was never moved stands where it was posted; of the few others the sum says where.
moved AS (
    SELECT DISTINCT entry_batch, entry_row
    FROM stored_posting($upto)
    WHERE entry_batch = $batch::BIGINT AND ms < 0
),

of_days AS (
    SELECT p.entry_batch, p.entry_row, p.job, p.day, p.ms, m.entry_row IS NOT NULL AS is_moved
    FROM known_posting($upto) AS p
    SEMI JOIN (SELECT job, day FROM staged_doubt_candidate WHERE is_one_enough) AS c ON c.job = p.job AND c.day = p.day
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = p.entry_batch AND f.row = p.entry_row
    LEFT JOIN moved AS m ON m.entry_batch = p.entry_batch AND m.entry_row = p.entry_row
    WHERE p.entry_batch = $batch::BIGINT
),

one_enough AS (
    SELECT entry_batch AS batch, min(entry_row) AS row
    FROM of_days
    WHERE NOT is_moved AND ms <> 0
    GROUP BY entry_batch, job, day
    UNION
    SELECT entry_batch AS batch, entry_row AS row
    FROM of_days
    WHERE is_moved
    GROUP BY entry_batch, entry_row, job, day
    HAVING sum(ms) <> 0
),

at_places AS (
    SELECT DISTINCT p.entry_batch AS batch, p.entry_row AS row
    FROM known_posting($upto) AS p
    SEMI JOIN (SELECT job, booked_to, day FROM staged_doubt_candidate WHERE job IS NOT NULL AND NOT is_one_enough) AS c
        ON c.job = p.job AND c.day = p.day AND coalesce(c.booked_to, p.booked_to) = p.booked_to
),

far AS (
    SELECT e.batch, e.row
    FROM standing AS e
    SEMI JOIN staged_doubt_far AS b ON b.file_batch = e.line_batch
    INNER JOIN known_sheet_line($upto) AS l ON l.batch = e.line_batch AND l.row = e.line_row
    INNER JOIN staged_doubt_far AS f ON f.file_batch = l.file_batch AND f.file_row = l.file_row
    WHERE e.day NOT BETWEEN f.first_day AND f.last_day
),

chosen AS (
    SELECT e.batch, e.row
    FROM standing AS e
    SEMI JOIN (SELECT worker_id, day FROM staged_doubt_candidate) AS c ON c.worker_id = e.worker_id AND c.day = e.day
    UNION
    SELECT batch, row
    FROM one_enough
    UNION
    SELECT batch, row
    FROM at_places
    UNION
    SELECT batch, row
    FROM far
),

clocked AS (
    SELECT
        *,
        CASE WHEN minute_of_day(start_time) < 1440 THEN minute_of_day(start_time) END AS start_min,
        minute_of_day(finish_time) AS finish_min
    FROM standing AS e
    SEMI JOIN chosen AS c ON c.batch = e.batch AND c.row = e.row
),

timed AS (
    SELECT
        * EXCLUDE (finish_min),
        CASE WHEN start_min IS NOT NULL
            THEN finish_min + CASE WHEN finish_min <= start_min THEN 1440 ELSE 0 END END AS finish_min
    FROM clocked
)

SELECT
    e.batch || '.' || e.row AS entry,
    e.batch,
    e.row,
    b.recorded_at,
    e.worker_id,
    e.day,
    e.ms,
    CASE WHEN e.finish_min IS NOT NULL THEN e.day + to_minutes(e.start_min) END AS start_at,
    e.day + to_minutes(e.finish_min) AS finish_at,
    (e.finish_min - e.start_min - coalesce(e.break_minutes, 0)) * 60000 AS clocked_ms,
    e.booking_code,
    e.note,
    e.pay_class,
    e.trade,
    e.rework,
    coalesce('sheet ' || e.sheet, 'file ' || f.name) AS handed_in,
    l.file_batch || '.' || l.file_row AS file_id,
    f.name AS file,
    l.line
FROM timed AS e
INNER JOIN known_sheet_line($upto) AS l ON l.batch = e.line_batch AND l.row = e.line_row
INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
LEFT JOIN known_batch($upto) AS b ON b.sequence = e.batch
ORDER BY e.batch, e.row
