-- posting_differences: the signed postings that bring entries to where they belong now.
-- In:  $closed BOOLEAN, of entries in closed periods, which stay, or of all others; $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT; worker_id VARCHAR; day DATE; trade VARCHAR; pay_class VARCHAR; job VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR; ms BIGINT, milliseconds; reason VARCHAR; rule VARCHAR
WITH standing_entry AS (
    SELECT e.*
    FROM known_entry($upto) AS e
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
    LEFT JOIN closed_entry($upto) AS c ON c.batch = e.batch AND c.row = e.row
    WHERE (c.batch IS NOT NULL) = $closed
),

shared AS (
    SELECT
        e.batch AS entry_batch,
        e.row AS entry_row,
        e.ms AS whole_ms,
        p.position,
        p.job,
        p.booked_to,
        p.cause,
        coalesce(p.rework, e.rework) AS rework,
        p.reason,
        p.rule,
        ((e.ms::HUGEINT * p.share_units) // 1000000000)::BIGINT AS part_ms,
        ((e.ms::HUGEINT * p.share_units) % 1000000000)::BIGINT AS remainder
    FROM standing_entry AS e
    INNER JOIN staged_place_key AS k ON k.entry_batch = e.batch AND k.entry_row = e.row
    INNER JOIN staged_place AS p
        ON p.job_given IS NOT DISTINCT FROM k.job_given
        AND p.booking_code IS NOT DISTINCT FROM k.booking_code
        AND p.worker_id IS NOT DISTINCT FROM k.worker_id
        AND p.day IS NOT DISTINCT FROM k.day
        AND p.note IS NOT DISTINCT FROM k.note
        AND p.trade IS NOT DISTINCT FROM k.trade
),

evened AS (
    SELECT
        *,
        part_ms + CASE
            WHEN row_number() OVER (PARTITION BY entry_batch, entry_row ORDER BY remainder DESC, position)
                <= whole_ms - sum(part_ms) OVER (PARTITION BY entry_batch, entry_row)
                THEN 1 ELSE 0 END AS ms
    FROM shared
),

wanted AS (
    SELECT entry_batch, entry_row, job, booked_to, cause, rework, sum(ms) AS ms, min(reason) AS reason, min(rule) AS rule
    FROM evened
    GROUP BY entry_batch, entry_row, job, booked_to, cause, rework
),

standing AS (
    SELECT p.entry_batch, p.entry_row, p.job, p.booked_to, p.cause, p.rework, sum(p.ms) AS ms
    FROM known_posting($upto) AS p
    SEMI JOIN standing_entry AS s ON s.batch = p.entry_batch AND s.row = p.entry_row
    GROUP BY p.entry_batch, p.entry_row, p.job, p.booked_to, p.cause, p.rework
),

signed AS (
    SELECT entry_batch, entry_row, job, booked_to, cause, rework, ms, reason, rule, true AS is_new
    FROM wanted
    UNION ALL
    SELECT entry_batch, entry_row, job, booked_to, cause, rework, -ms AS ms, NULL AS reason, NULL AS rule, false AS is_new
    FROM standing
),

differing AS (
    SELECT
        entry_batch,
        entry_row,
        job,
        booked_to,
        cause,
        rework,
        sum(ms)::BIGINT AS ms,
        max(reason) AS reason,
        max(rule) AS rule,
        bool_or(is_new) AND count(*) = 1 AS first_here
    FROM signed
    GROUP BY entry_batch, entry_row, job, booked_to, cause, rework
    HAVING sum(ms) <> 0 OR (bool_or(is_new) AND count(*) = 1)
)

SELECT
    d.entry_batch,
    d.entry_row,
    e.worker_id,
    e.day,
    e.trade,
    e.pay_class,
    d.job,
    d.booked_to,
    d.cause,
    d.rework,
    d.ms,
    coalesce(d.reason, 'moved') AS reason,
    d.rule
FROM differing AS d
INNER JOIN known_entry($upto) AS e ON e.batch = d.entry_batch AND e.row = d.entry_row
ORDER BY e.day, d.entry_batch, d.entry_row, d.ms, d.booked_to
