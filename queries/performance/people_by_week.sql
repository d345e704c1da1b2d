-- people_by_week: time booked over some weeks by the workers of a job, by trade worked, worker and week.
-- In:  $job VARCHAR; $first DATE; $last DATE, both inclusive, the weeks counted from the first; $upto BIGINT, the last batch that counts
-- Out: trade VARCHAR, null of workers who are not in the crew; worker_id VARCHAR; week BIGINT, 0 for the first; ms DECIMAL(38,0), milliseconds on the job; all_ms DECIMAL(38,0), milliseconds on all jobs
WITH booked AS (
    SELECT
        worker_id,
        day,
        trade,
        sum(ms) AS all_ms,
        coalesce(sum(ms) FILTER (WHERE job = $job), 0) AS ms
    FROM known_posting($upto)
    WHERE day BETWEEN $first AND $last AND booked_to <> 'absence'
    GROUP BY worker_id, day, trade
    HAVING sum(ms) <> 0
),

worked AS (
    SELECT
        b.worker_id,
        (b.day - $first) // 7 AS week,
        coalesce(b.trade, c.trade) AS trade,
        b.ms,
        b.all_ms
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
    week,
    sum(ms)::DECIMAL(38,0) AS ms,
    sum(all_ms)::DECIMAL(38,0) AS all_ms
FROM worked
GROUP BY trade, worker_id, week
QUALIFY bool_or(sum(ms) <> 0) OVER (PARTITION BY trade, worker_id)
ORDER BY trade, worker_id, week
