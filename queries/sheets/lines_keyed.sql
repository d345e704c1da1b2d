-- lines_keyed: the judged lines that are booked, each with what rules look at besides job and code, none where no rule does.
-- In:  $upto BIGINT, the last batch that counts
-- Out: place BIGINT, in the file; by_worker VARCHAR; by_day DATE; by_note VARCHAR; by_trade VARCHAR
WITH looked_at AS (
    SELECT *
    FROM rules_look_at($upto)
    WHERE worker OR day OR note OR trade
),

worked AS (
    SELECT j.place, c.trade
    FROM staged_judged AS j
    INNER JOIN current_crew($upto) AS c ON c.worker_id = j.worker_id
    WHERE j.outcome = 'booked' AND (SELECT trade FROM looked_at)
    QUALIFY row_number() OVER (
        PARTITION BY j.place
        ORDER BY c.active_from <= j.day DESC,
            CASE WHEN c.active_from <= j.day THEN c.active_from END DESC,
            c.active_from
    ) = 1
)

SELECT
    j.place,
    CASE WHEN l.worker THEN j.worker_id END AS by_worker,
    CASE WHEN l.day THEN j.day END AS by_day,
    CASE WHEN l.note THEN j.note END AS by_note,
    CASE WHEN l.trade THEN coalesce(j.trade, w.trade) END AS by_trade
FROM staged_judged AS j
CROSS JOIN looked_at AS l
LEFT JOIN worked AS w ON w.place = j.place
WHERE j.outcome = 'booked'
ORDER BY j.place
