-- places_of_entry: where the time of a sheet line stands, by job and place, with the daywork sheets that cover its day on a change.
-- In:  $line_batch BIGINT; $line_row BIGINT; $upto BIGINT, the last batch that counts
-- Out: job VARCHAR, null of time in none; booked_to VARCHAR; cause VARCHAR; rework VARCHAR; day DATE; ms BIGINT, milliseconds; daywork_sheets VARCHAR[], work done again is on none
WITH entry_of_line AS (
    SELECT batch, row, worker_id
    FROM known_entry($upto)
    WHERE line_batch = $line_batch AND line_row = $line_row
),

booked AS (
    SELECT p.job, p.booked_to, p.cause, p.rework, p.day, sum(p.ms)::BIGINT AS ms
    FROM known_posting($upto) AS p
    SEMI JOIN entry_of_line AS e ON e.batch = p.entry_batch AND e.row = p.entry_row
    GROUP BY p.job, p.booked_to, p.cause, p.rework, p.day
    HAVING sum(p.ms) <> 0
)

SELECT
    b.job,
    b.booked_to,
    b.cause,
    b.rework,
    b.day,
    b.ms,
    coalesce(list(DISTINCT s.daywork_sheet ORDER BY s.daywork_sheet) FILTER (WHERE s.daywork_sheet IS NOT NULL), []) AS daywork_sheets
FROM booked AS b
LEFT JOIN recorded_daywork_sheet($upto) AS s
    ON s.job = b.job
    AND s.change = b.booked_to
    AND b.day BETWEEN s.day_from AND s.day_to
    AND b.rework IS NULL
GROUP BY b.job, b.booked_to, b.cause, b.rework, b.day, b.ms
ORDER BY b.job, b.booked_to, b.cause, b.rework
