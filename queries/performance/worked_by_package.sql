-- worked_by_package: time booked to each place of all jobs by trade worked, rework included.
-- In:  $status_date DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; part VARCHAR; trade VARCHAR, null of a worker who is not in the crew; ms DECIMAL(38,0), milliseconds
WITH booked AS (
    SELECT job, booked_to, worker_id, day, trade, sum(ms) AS ms
    FROM known_posting($upto)
    WHERE job IS NOT NULL AND day <= $status_date
    GROUP BY job, booked_to, worker_id, day, trade
    HAVING sum(ms) <> 0
),

worker_days AS (
    SELECT DISTINCT worker_id, day
    FROM booked
    WHERE trade IS NULL
),

active AS (
    SELECT d.worker_id, d.day, c.trade
    FROM worker_days AS d
    LEFT JOIN current_crew($upto) AS c ON c.worker_id = d.worker_id
    QUALIFY row_number() OVER (
        PARTITION BY d.worker_id, d.day
        ORDER BY c.active_from <= d.day DESC,
            CASE WHEN c.active_from <= d.day THEN c.active_from END DESC,
            c.active_from
    ) = 1
)

SELECT
    b.job,
    b.booked_to AS part,
    coalesce(b.trade, a.trade) AS trade,
    sum(b.ms)::DECIMAL(38,0) AS ms
FROM booked AS b
LEFT JOIN active AS a ON a.worker_id = b.worker_id AND a.day = b.day
GROUP BY b.job, b.booked_to, coalesce(b.trade, a.trade)
ORDER BY b.job, b.booked_to, trade
