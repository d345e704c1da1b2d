-- held_and_untagged: time of a job by a day that is untagged, all its time, and lines held anywhere.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: booked_ms DECIMAL(38,0), milliseconds; untagged_ms DECIMAL(38,0), milliseconds; held_lines BIGINT; booked_lines BIGINT
WITH held AS (
    SELECT count(*) FILTER (WHERE outcome = 'held') AS held_lines
    FROM line_standing($upto)
),

booked AS (
    SELECT
        coalesce(sum(p.ms), 0)::DECIMAL(38,0) AS booked_ms,
        coalesce(sum(p.ms) FILTER (WHERE p.booked_to = 'untagged'), 0)::DECIMAL(38,0) AS untagged_ms,
        count(DISTINCT (p.entry_batch, p.entry_row)) FILTER (WHERE f.batch IS NULL) AS booked_lines
    FROM known_posting($upto) AS p
    LEFT JOIN (SELECT DISTINCT batch, row FROM fixed_entry($upto)) AS f
        ON f.batch = p.entry_batch AND f.row = p.entry_row
    WHERE p.job = $job AND p.day <= $status_date
)

SELECT b.booked_ms, b.untagged_ms, h.held_lines, b.booked_lines
FROM booked AS b
CROSS JOIN held AS h
ORDER BY b.booked_ms
