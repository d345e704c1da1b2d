-- caused_days: time of a job that some causes took, by cause, day, trade and grade; of changes there is none.
-- In:  $job VARCHAR; $causes VARCHAR[]; $upto BIGINT, the last batch that counts
-- Out: cause VARCHAR; kind VARCHAR, lost or rework; day DATE; trade VARCHAR, null of a worker who is not in the crew; grade VARCHAR; entries BIGINT; ms DECIMAL(38,0), milliseconds
WITH caused AS (
    SELECT entry_batch, entry_row, cause, kind, worker_id, day, trade, ms
    FROM caused_time($upto)
    WHERE job = $job AND list_contains($causes::VARCHAR[], cause)
),

done AS (
    SELECT t.*, coalesce(t.trade, c.trade) AS trade_worked, c.grade
    FROM caused AS t
    LEFT JOIN current_crew($upto) AS c ON c.worker_id = t.worker_id
    QUALIFY row_number() OVER (
        PARTITION BY t.entry_batch, t.entry_row, t.cause, t.kind, t.trade
        ORDER BY c.active_from <= t.day DESC,
            CASE WHEN c.active_from <= t.day THEN c.active_from END DESC,
            c.active_from
    ) = 1
)

SELECT
    cause,
    kind,
    day,
    trade_worked AS trade,
    grade,
    count(DISTINCT (entry_batch, entry_row)) AS entries,
    sum(ms)::DECIMAL(38,0) AS ms
FROM done
GROUP BY cause, kind, day, trade_worked, grade
ORDER BY cause, kind, day, trade_worked, grade
