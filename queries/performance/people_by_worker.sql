-- people_by_worker: time booked in a job over some weeks by trade worked and worker, and the weeks of it.
-- In:  $job VARCHAR; $first DATE; $last DATE, both inclusive, the weeks counted from the first; $upto BIGINT, the last batch that counts
-- Out: trade VARCHAR, null of workers who are not in the crew; worker_id VARCHAR; ms DECIMAL(38,0), milliseconds; weeks BIGINT, in which any was booked
WITH booked AS (
    SELECT worker_id, day, trade, sum(ms) AS ms
    FROM known_posting($upto)
    WHERE job = $job AND day BETWEEN $first AND $last
    GROUP BY worker_id, day, trade
    HAVING sum(ms) <> 0
),

worked AS (
    SELECT
        b.worker_id,
        (b.day - $first) // 7 AS week,
        coalesce(b.trade, c.trade) AS trade,
        b.ms
    FROM booked AS b
    LEFT JOIN current_crew($upto) AS c ON c.worker_id = b.worker_id
    QUALIFY row_number() OVER (
        PARTITION BY b.worker_id, b.day, b.trade
        ORDER BY c.active_from <= b.day DESC,
            CASE WHEN c.active_from <= b.day THEN c.active_from END DESC,
            c.active_from
    ) = 1
)

SELECT
    trade,
    worker_id,
    sum(ms)::DECIMAL(38,0) AS ms,
    count(DISTINCT week) AS weeks
FROM worked
GROUP BY trade, worker_id
ORDER BY trade, worker_id
