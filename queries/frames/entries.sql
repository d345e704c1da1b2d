-- entries: what stands of every entry, a row for each place that its time is booked to.
-- In:  $job VARCHAR, null for all; $upto BIGINT, the last batch that counts
-- Out: entry VARCHAR, as batch.row; day DATE; worker_id VARCHAR; job VARCHAR, null of overhead and absence; booked_to VARCHAR; cause VARCHAR; rework VARCHAR; trade VARCHAR, worked; pay_class VARCHAR; booking_code VARCHAR; sheet VARCHAR; note VARCHAR; ms DECIMAL(38,0), milliseconds; hours DECIMAL(38,4), rounded half away from zero; cost_per_hour DECIMAL(38,4), null without a rate; cost DECIMAL(38,4), rounded half away from zero
WITH standing AS (
    SELECT
        entry_batch,
        entry_row,
        worker_id,
        day,
        trade AS sheet_trade,
        pay_class,
        job,
        booked_to,
        cause,
        rework,
        sum(ms)::DECIMAL(38,0) AS ms
    FROM known_posting($upto) AS p
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = p.entry_batch AND f.row = p.entry_row
    WHERE $job::VARCHAR IS NULL OR p.job = $job
    GROUP BY ALL
    HAVING sum(ms) <> 0
),

-- An hour is 3,600,000 ms: to four places ms are divided by 360, ms x 1/10000 by 3,600,000.
counted AS (
    SELECT
        s.*,
        r.trade,
        r.cost_per_hour,
        CASE WHEN s.ms < 0 THEN -1 ELSE 1 END AS sign,
        (2 * abs(s.ms)::HUGEINT + 360) // 720 AS hours_4,
        (2 * abs(s.ms)::HUGEINT * r.cost_per_hour + 3600000) // 7200000 AS cost_4
    FROM standing AS s
    INNER JOIN rated_day($upto) AS r
        ON r.worker_id = s.worker_id AND r.day = s.day
        AND r.sheet_trade IS NOT DISTINCT FROM s.sheet_trade
)

SELECT
    c.entry_batch || '.' || c.entry_row AS entry,
    c.day,
    c.worker_id,
    c.job,
    c.booked_to,
    c.cause,
    c.rework,
    c.trade,
    c.pay_class,
    e.booking_code,
    e.sheet,
    e.note,
    c.ms,
    ((c.sign * c.hours_4)::DECIMAL(32,0) * 0.0001)::DECIMAL(38,4) AS hours,
    (c.cost_per_hour::DECIMAL(32,0) * 0.0001)::DECIMAL(38,4) AS cost_per_hour,
    ((c.sign * c.cost_4)::DECIMAL(32,0) * 0.0001)::DECIMAL(38,4) AS cost
FROM counted AS c
INNER JOIN known_entry($upto) AS e ON e.batch = c.entry_batch AND e.row = c.entry_row
ORDER BY c.day, c.worker_id, c.entry_batch, c.entry_row, c.job, c.booked_to, c.cause, c.rework
