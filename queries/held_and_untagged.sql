-- held_and_untagged: time of a job by a day that is untagged, all its time, and lines held anywhere.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: booked_ms DECIMAL(38,0), milliseconds; untagged_ms DECIMAL(38,0), milliseconds; held_lines BIGINT; booked_lines BIGINT
WITH last_outcome AS (
    SELECT outcome
    FROM known_line_outcome($upto)
    QUALIFY row_number() OVER (PARTITION BY line_batch, line_row ORDER BY batch DESC, row DESC) = 1
),

held AS (
    SELECT count(*) FILTER (WHERE outcome = 'held') AS held_lines
    FROM last_outcome
),

booked AS (
    SELECT
        coalesce(sum(ms), 0)::DECIMAL(38,0) AS booked_ms,
        coalesce(sum(ms) FILTER (WHERE booked_to = 'untagged'), 0)::DECIMAL(38,0) AS untagged_ms,
        count(DISTINCT (entry_batch, entry_row)) AS booked_lines
    FROM known_posting($upto)
    WHERE job = $job AND day <= $status_date
)

SELECT b.booked_ms, b.untagged_ms, h.held_lines, b.booked_lines
FROM booked AS b
CROSS JOIN held AS h
ORDER BY b.booked_ms
