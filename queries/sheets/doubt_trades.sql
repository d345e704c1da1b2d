-- doubt_trades: the days of workers with time at a place whose plan may name no such trade.
-- In:  $batch BIGINT, by its entries, null for all; $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; day DATE
-- Ways of booking are looked up once for each worker; only of those astray the days are looked for.
WITH worked AS (
    SELECT l.worker_id, l.what, NULL::DATE AS day, w.job, w.booked_to, w.trade
    FROM (
        SELECT DISTINCT worker_id, what
        FROM known_line($upto)
        WHERE $batch::BIGINT IS NULL OR batch = $batch::BIGINT
    ) AS l
    INNER JOIN stored_what($upto) AS w ON w.number = l.what
    WHERE w.booked_to IS NOT NULL
    UNION ALL
    SELECT DISTINCT worker_id, NULL::BIGINT AS what, day, job, booked_to, trade
    FROM stored_posting($upto)
    WHERE $batch::BIGINT IS NULL OR entry_batch = $batch::BIGINT
),

astray AS (
    SELECT DISTINCT w.worker_id, w.what, w.day
    FROM worked AS w
    INNER JOIN staged_doubt_planned AS p ON p.job = w.job AND p.place = w.booked_to
    LEFT JOIN staged_crew_known AS c ON c.worker_id = w.worker_id
    WHERE NOT list_contains(p.trades, coalesce(w.trade, c.trade))
)

SELECT worker_id, day
FROM astray
WHERE what IS NULL
UNION
SELECT l.worker_id, l.day
FROM known_line($upto) AS l
SEMI JOIN astray AS a ON a.what = l.what AND a.worker_id = l.worker_id
WHERE $batch::BIGINT IS NULL OR l.batch = $batch::BIGINT
ORDER BY worker_id, day
