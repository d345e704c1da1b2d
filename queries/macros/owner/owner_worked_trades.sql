-- owner_worked_trades: hours worked on change requests by trade and grade: the hour's own trade, else the worker's on the day; each worker by a number, without who it is. Work done again is left out.
CREATE MACRO owner_worked_trades(upto) AS TABLE
SELECT
    w.job, w.change, w.day, w.ms, coalesce(w.trade, c.trade) AS trade, c.grade,
    dense_rank() OVER (PARTITION BY w.job, w.change ORDER BY w.worker_id) AS worker
FROM (
    SELECT job, booked_to AS change, day, worker_id, trade, sum(ms) AS ms
    FROM known_posting(upto)
    WHERE rework IS NULL
        AND (job, booked_to) IN (SELECT (job, change) FROM current_change(upto))
    GROUP BY ALL
) AS w
LEFT JOIN current_crew(upto) AS c ON c.worker_id = w.worker_id
QUALIFY row_number() OVER (
    PARTITION BY w.job, w.change, w.day, w.worker_id, w.trade
    ORDER BY
        c.active_from <= w.day DESC,
        CASE WHEN c.active_from <= w.day THEN c.active_from END DESC,
        c.active_from
) = 1
