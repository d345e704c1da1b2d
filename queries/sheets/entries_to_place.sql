-- entries_to_place: the entries that stand, each with all that decides where it is booked, as far as any rule looks at it.
-- In:  $stays VARCHAR, no for those that may move, yes for those that stay, closed for those that stay for their period alone, all for each of them; $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT; job_given VARCHAR; booking_code VARCHAR; by_worker VARCHAR; by_day DATE; by_note VARCHAR; by_trade VARCHAR; worker_id VARCHAR; day DATE; trade VARCHAR; pay_class VARCHAR; rework VARCHAR; ms BIGINT, milliseconds
WITH looked_at AS (
    SELECT *
    FROM rules_look_at($upto)
),

standing AS (
    SELECT e.*
    FROM known_entry($upto) AS e
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
    LEFT JOIN closed_entry($upto) AS c ON c.batch = e.batch AND c.row = e.row
    LEFT JOIN claimed_entry($upto) AS k ON k.batch = e.batch AND k.row = e.row
    WHERE CASE $stays::VARCHAR
        WHEN 'no' THEN c.batch IS NULL AND k.batch IS NULL
        WHEN 'yes' THEN c.batch IS NOT NULL OR k.batch IS NOT NULL
        WHEN 'closed' THEN c.batch IS NOT NULL AND k.batch IS NULL
        ELSE true
    END
),

worked AS (
    SELECT e.batch, e.row, c.trade
    FROM standing AS e
    INNER JOIN current_crew($upto) AS c ON c.worker_id = e.worker_id
    WHERE (SELECT trade FROM looked_at)
    QUALIFY row_number() OVER (
        PARTITION BY e.batch, e.row
        ORDER BY c.active_from <= e.day DESC,
            CASE WHEN c.active_from <= e.day THEN c.active_from END DESC,
            c.active_from
    ) = 1
)

SELECT
    e.batch AS entry_batch,
    e.row AS entry_row,
    e.job_given,
    e.booking_code,
    CASE WHEN l.worker THEN e.worker_id END AS by_worker,
    CASE WHEN l.day THEN e.day END AS by_day,
    CASE WHEN l.note THEN e.note END AS by_note,
    CASE WHEN l.trade THEN coalesce(e.trade, w.trade) END AS by_trade,
    e.worker_id,
    e.day,
    e.trade,
    e.pay_class,
    e.rework,
    e.ms
FROM standing AS e
CROSS JOIN looked_at AS l
LEFT JOIN worked AS w ON w.batch = e.batch AND w.row = e.row
ORDER BY e.batch, e.row
