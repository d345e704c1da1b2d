-- caused_time: time lost, and work done again on packages, by entry with its cause; time of changes is not among it.
CREATE MACRO caused_time(upto) AS TABLE
SELECT
    p.entry_batch,
    p.entry_row,
    p.worker_id,
    p.day,
    p.trade,
    p.job,
    CASE WHEN p.booked_to = 'non_productive' THEN p.cause ELSE p.rework END AS cause,
    CASE WHEN p.booked_to = 'non_productive' THEN 'lost' ELSE 'rework' END AS kind,
    sum(p.ms) AS ms
FROM known_posting(upto) AS p
ANTI JOIN current_change(upto) AS c ON c.job = p.job AND c.change = p.booked_to
ANTI JOIN fixed_entry(upto) AS f ON f.batch = p.entry_batch AND f.row = p.entry_row
WHERE p.job IS NOT NULL
    AND p.booked_to <> 'untagged'
    AND (p.booked_to = 'non_productive' OR p.rework IS NOT NULL)
GROUP BY ALL
HAVING sum(p.ms) <> 0
