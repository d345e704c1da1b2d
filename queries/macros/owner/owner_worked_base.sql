-- owner_worked_base: hours worked on the packages of jobs by trade and grade, without who worked them: the hour's own trade, else the worker's on the day. Work done again is left out.
CREATE MACRO owner_worked_base(upto) AS TABLE
SELECT w.job, w.day, w.ms, coalesce(w.trade, c.trade) AS trade, c.grade
FROM (
    SELECT job, day, worker_id, trade, sum(ms) AS ms
    FROM known_posting(upto)
    WHERE rework IS NULL
        AND (job, booked_to) IN (SELECT (job, work_package) FROM planned_package(upto))
    GROUP BY ALL
) AS w
LEFT JOIN current_crew(upto) AS c ON c.worker_id = w.worker_id
QUALIFY row_number() OVER (
    PARTITION BY w.job, w.day, w.worker_id, w.trade
    ORDER BY
        c.active_from <= w.day DESC,
        CASE WHEN c.active_from <= w.day THEN c.active_from END DESC,
        c.active_from
) = 1
