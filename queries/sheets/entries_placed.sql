-- entries_placed: where the entries belong now, with the time of each place.
-- In:  none
-- Out: entry_batch BIGINT; entry_row BIGINT; worker_id VARCHAR; day DATE; trade VARCHAR; pay_class VARCHAR; job VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR; ms BIGINT, milliseconds; reason VARCHAR; rule VARCHAR; job_meant VARCHAR, of shared entries alone; is_shared BOOLEAN, by what the crew booked
WITH shared AS (
    SELECT
        e.* EXCLUDE (rework),
        p.places,
        p.position,
        p.share_units,
        p.job,
        p.booked_to,
        p.cause,
        coalesce(p.rework, e.rework) AS rework,
        p.reason,
        p.rule,
        CASE WHEN p.is_shared THEN p.job_meant END AS job_meant,
        p.is_shared
    FROM staged_entry_to_place AS e
    INNER JOIN staged_place AS p
        ON p.job_given IS NOT DISTINCT FROM e.job_given
        AND p.booking_code IS NOT DISTINCT FROM e.booking_code
        AND p.by_worker IS NOT DISTINCT FROM e.by_worker
        AND p.by_day IS NOT DISTINCT FROM e.by_day
        AND p.by_note IS NOT DISTINCT FROM e.by_note
        AND p.by_trade IS NOT DISTINCT FROM e.by_trade
),

parted AS (
    SELECT
        * REPLACE (((ms::HUGEINT * share_units) // 1000000000)::BIGINT AS ms),
        ms AS whole_ms,
        ((ms::HUGEINT * share_units) % 1000000000)::BIGINT AS remainder
    FROM shared
    WHERE places > 1
),

-- An odd millisecond goes to the largest fraction, then to the place named first.
evened AS (
    SELECT
        * REPLACE (
            ms + CASE
                WHEN row_number() OVER (PARTITION BY entry_batch, entry_row ORDER BY remainder DESC, position)
                    <= whole_ms - sum(ms) OVER (PARTITION BY entry_batch, entry_row)
                    THEN 1 ELSE 0 END AS ms
        )
    FROM parted
)

SELECT
    entry_batch,
    entry_row,
    worker_id,
    day,
    trade,
    pay_class,
    job,
    booked_to,
    cause,
    rework,
    ms,
    reason,
    rule,
    job_meant,
    is_shared
FROM shared
WHERE places = 1
UNION ALL
SELECT
    entry_batch,
    entry_row,
    worker_id,
    day,
    trade,
    pay_class,
    job,
    booked_to,
    cause,
    rework,
    sum(ms)::BIGINT AS ms,
    min(reason) AS reason,
    min(rule) AS rule,
    NULL::VARCHAR AS job_meant,
    false AS is_shared
FROM evened
GROUP BY entry_batch, entry_row, worker_id, day, trade, pay_class, job, booked_to, cause, rework
ORDER BY entry_batch, entry_row, booked_to, job, cause, rework
