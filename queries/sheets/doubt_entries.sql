-- doubt_entries: the chosen entries that stand and may raise a doubt, with file, line, place and clock times.
-- In:  $upto BIGINT, the last batch that counts
-- Out: entry VARCHAR, as batch.row; batch BIGINT; row BIGINT; recorded_at TIMESTAMP, UTC; worker_id VARCHAR; day DATE; ms BIGINT, milliseconds; start_at TIMESTAMP; finish_at TIMESTAMP, of the next day where it is not after the start; clocked_ms BIGINT, finish less start less break; booking_code VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; handed_in VARCHAR, the sheet, without one the file; file_id VARCHAR; file VARCHAR; line BIGINT
WITH clocked AS (
    SELECT
        *,
        CASE WHEN minute_of_day(start_time) < 1440 THEN minute_of_day(start_time) END AS start_min,
        minute_of_day(finish_time) AS finish_min
    FROM plain_entry($upto) AS e
    SEMI JOIN staged_doubt_chosen AS c ON c.batch = e.batch AND c.row = e.row
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
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
    coalesce(e.own_note, n.note) AS note,
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
LEFT JOIN known_note($upto) AS n ON n.batch = e.batch AND n.row = e.note_row
LEFT JOIN known_batch($upto) AS b ON b.sequence = e.batch
ORDER BY e.batch, e.row
