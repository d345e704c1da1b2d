-- people_by_trade: time booked in a job by trade worked over some weeks, and the people who booked it.
-- In:  $job VARCHAR; $first DATE; $last DATE, both inclusive, the weeks counted from the first; $upto BIGINT, the last batch that counts
-- Out: trade VARCHAR, null of workers who are not in the crew; ms DECIMAL(38,0), milliseconds; worker_weeks BIGINT, the people of each week added up
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
    sum(ms)::DECIMAL(38,0) AS ms,
    count(DISTINCT (worker_id, week)) AS worker_weeks
FROM worked
GROUP BY trade
ORDER BY trade
