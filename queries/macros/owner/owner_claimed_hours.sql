-- owner_claimed_hours: hours of changes that claims took up or gave back, by day and trade; each worker by their number of owner_worked_trades, without who it is. An entry's own trade, else the worker's on the day.
CREATE MACRO owner_claimed_hours(upto) AS TABLE
SELECT
    p.job, p.document, p.booked_to AS change, e.day, p.entry_batch, p.entry_row, p.ms,
    coalesce(e.trade, c.trade) AS trade, w.worker
FROM known_claim_posting(upto) AS p
INNER JOIN known_entry(upto) AS e ON e.batch = p.entry_batch AND e.row = p.entry_row
INNER JOIN (
    SELECT
        job, booked_to AS change, worker_id,
        dense_rank() OVER (PARTITION BY job, booked_to ORDER BY worker_id) AS worker
    FROM (
        SELECT DISTINCT job, booked_to, worker_id
        FROM known_posting(upto)
        WHERE rework IS NULL
            AND (job, booked_to) IN (SELECT (job, change) FROM current_change(upto))
    )
) AS w ON w.job = p.job AND w.change = p.booked_to AND w.worker_id = e.worker_id
LEFT JOIN current_crew(upto) AS c ON c.worker_id = e.worker_id
QUALIFY row_number() OVER (
    PARTITION BY p.batch, p.row
    ORDER BY
        c.active_from <= e.day DESC,
        CASE WHEN c.active_from <= e.day THEN c.active_from END DESC,
        c.active_from
) = 1
