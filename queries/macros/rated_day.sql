-- rated_day: the trade worked and the cost rate of each worker's day with time, by the trade that the sheet names (null: the crew's).
CREATE MACRO rated_day(upto) AS TABLE
WITH worker_days AS (
    SELECT DISTINCT worker_id, day, trade AS sheet_trade
    FROM known_posting(upto)
),

active AS (
    SELECT d.worker_id, d.day, d.sheet_trade, coalesce(d.sheet_trade, c.trade) AS trade, c.grade
    FROM worker_days AS d
    LEFT JOIN current_crew(upto) AS c ON c.worker_id = d.worker_id
    QUALIFY row_number() OVER (
        PARTITION BY d.worker_id, d.day, d.sheet_trade
        ORDER BY c.active_from <= d.day DESC,
            CASE WHEN c.active_from <= d.day THEN c.active_from END DESC,
            c.active_from
    ) = 1
)

SELECT a.worker_id, a.day, a.sheet_trade, a.trade, r.cost_per_hour
FROM active AS a
LEFT JOIN current_rate(upto) AS r
    ON r.effective_from <= a.day
    AND (r.trade IS NULL OR r.trade = a.trade)
    AND (r.worker_id IS NULL OR r.worker_id = a.worker_id)
    AND (r.grade IS NULL OR r.grade = a.grade)
QUALIFY row_number() OVER (
    PARTITION BY a.worker_id, a.day, a.sheet_trade
    ORDER BY r.worker_id IS NULL, r.grade IS NULL, r.trade IS NULL, r.effective_from DESC
) = 1
