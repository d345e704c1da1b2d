-- booked_lines: where the time of a worker stands in some days, with sheet, file and line.
-- In:  $worker VARCHAR; $from DATE; $to DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: entry VARCHAR, as batch.row; day DATE; ms BIGINT, milliseconds; pay_class VARCHAR; job VARCHAR; booked_to VARCHAR; sheet VARCHAR; file VARCHAR; line BIGINT
WITH placed AS (
    SELECT entry_batch, entry_row, day, pay_class, job, booked_to, sum(ms)::BIGINT AS ms
    FROM known_posting($upto)
    WHERE worker_id = $worker AND day BETWEEN $from::DATE AND $to::DATE
    GROUP BY ALL
    HAVING sum(ms) <> 0
)

SELECT
    p.entry_batch || '.' || p.entry_row AS entry,
    p.day,
    p.ms,
    p.pay_class,
    p.job,
    p.booked_to,
    n.sheet,
    f.name AS file,
    l.line
FROM placed AS p
INNER JOIN known_entry($upto) AS n ON n.batch = p.entry_batch AND n.row = p.entry_row
INNER JOIN known_sheet_line($upto) AS l ON l.batch = n.line_batch AND l.row = n.line_row
INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
ORDER BY p.day, p.entry_batch, p.entry_row, p.job, p.booked_to
