-- entries_of_figure: the entries of a job that count in a figure, by the places, causes and rework causes that do: where each is booked, what of it, why, and its file and line.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $places VARCHAR[]; $causes VARCHAR[], of each place; $reworks VARCHAR[], of each place; $upto BIGINT, the last batch that counts
-- Out: entry VARCHAR, as batch.row; worker_id VARCHAR; day DATE; ms BIGINT, milliseconds; booking_code VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR; reason VARCHAR, code, hand or a rule; rule VARCHAR; tag_reason VARCHAR; file VARCHAR; line BIGINT
-- What was reversed stands beside its reversal, and both come to nothing: neither is listed.
WITH counting AS (
    SELECT
        unnest($places::VARCHAR[]) AS booked_to,
        unnest($causes::VARCHAR[]) AS cause,
        unnest($reworks::VARCHAR[]) AS rework
),

booked AS (
    SELECT
        p.entry_batch,
        p.entry_row,
        p.booked_to,
        p.cause,
        p.rework,
        sum(p.ms)::BIGINT AS ms,
        arg_max(p.reason, (p.batch, p.row)) FILTER (WHERE p.ms > 0) AS reason,
        arg_max(coalesce(p.rule, ''), (p.batch, p.row)) FILTER (WHERE p.ms > 0) AS rule
    FROM known_posting($upto) AS p
    INNER JOIN counting AS c
        ON c.booked_to = p.booked_to
        AND c.cause IS NOT DISTINCT FROM p.cause
        AND c.rework IS NOT DISTINCT FROM p.rework
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = p.entry_batch AND f.row = p.entry_row
    WHERE p.job = $job AND p.day <= $status_date
    GROUP BY p.entry_batch, p.entry_row, p.booked_to, p.cause, p.rework
    HAVING sum(p.ms) <> 0
)

SELECT
    b.entry_batch || '.' || b.entry_row AS entry,
    e.worker_id,
    e.day,
    b.ms,
    e.booking_code,
    b.booked_to,
    b.cause,
    b.rework,
    b.reason,
    nullif(b.rule, '') AS rule,
    t.reason AS tag_reason,
    f.name AS file,
    l.line
FROM booked AS b
INNER JOIN known_entry($upto) AS e ON e.batch = b.entry_batch AND e.row = b.entry_row
INNER JOIN known_sheet_line($upto) AS l ON l.batch = e.line_batch AND l.row = e.line_row
INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
LEFT JOIN current_hand_tag($upto) AS t
    ON t.line_batch = e.line_batch AND t.line_row = e.line_row AND b.reason = 'hand'
ORDER BY e.day, e.worker_id, b.entry_batch, b.entry_row, b.booked_to, b.cause, b.rework
