-- lines_counted: how many judged lines of a file came to which outcome, and the time booked.
-- In:  none
-- Out: lines_read BIGINT; booked BIGINT; held BIGINT; already_booked BIGINT; already_held BIGINT; booked_ms DECIMAL(38,0), milliseconds
SELECT
    count(*) AS lines_read,
    count(*) FILTER (WHERE outcome = 'booked') AS booked,
    count(*) FILTER (WHERE outcome = 'held') AS held,
    count(*) FILTER (WHERE outcome = 'already_booked') AS already_booked,
    count(*) FILTER (WHERE outcome = 'already_held') AS already_held,
    coalesce(sum(ms) FILTER (WHERE outcome = 'booked'), 0)::DECIMAL(38,0) AS booked_ms
FROM staged_judged
ORDER BY lines_read
