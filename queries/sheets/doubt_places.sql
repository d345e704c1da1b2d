-- doubt_places: where the entries that may raise a doubt stand, a row for each place of one.
-- In:  $upto BIGINT, the last batch that counts
-- Out: entry VARCHAR, as batch.row; job VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR; ms BIGINT, milliseconds
SELECT
    e.entry,
    p.job,
    p.booked_to,
    p.cause,
    p.rework,
    sum(p.ms)::BIGINT AS ms
FROM known_posting($upto) AS p
INNER JOIN staged_doubt_entry AS e ON e.batch = p.entry_batch AND e.row = p.entry_row
GROUP BY e.entry, p.job, p.booked_to, p.cause, p.rework
HAVING sum(p.ms) <> 0
ORDER BY e.entry, p.job, p.booked_to, p.cause, p.rework
