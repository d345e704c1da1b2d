-- worked_base: time worked on the packages of a job by trade, grade and day, work done again left out.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: trade VARCHAR, null of a worker who is not in the crew; grade VARCHAR; day DATE; ms DECIMAL(38,0), milliseconds
WITH worked AS (
    SELECT worker_id, trade, day, sum(ms) AS ms
    FROM known_posting($upto)
    WHERE job = $job
        AND day <= $status_date
        AND rework IS NULL
        AND booked_to IN (SELECT work_package FROM planned_package($upto) WHERE job = $job)
    GROUP BY worker_id, trade, day
),

-- Of each worker the crew row of the day worked.
known AS (
    SELECT coalesce(w.trade, c.trade) AS trade, c.grade, w.day, w.ms
    FROM worked AS w
    LEFT JOIN current_crew($upto) AS c ON c.worker_id = w.worker_id
    QUALIFY row_number() OVER (
        PARTITION BY w.worker_id, w.trade, w.day
        ORDER BY
            c.active_from <= w.day DESC,
            CASE WHEN c.active_from <= w.day THEN c.active_from END DESC,
            c.active_from
    ) = 1
)

SELECT trade, grade, day, sum(ms)::DECIMAL(38,0) AS ms
FROM known
GROUP BY trade, grade, day
HAVING sum(ms) <> 0
ORDER BY trade, grade, day
