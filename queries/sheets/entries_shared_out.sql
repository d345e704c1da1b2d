-- entries_shared_out: where shared entries belong: at the places that the crew worked on in their week, in proportion to its hours there.
-- In:  $stays VARCHAR[], no for those that may be split anew, closed and claimed for those that stay
-- Out: entry_batch BIGINT; entry_row BIGINT; worker_id VARCHAR; day DATE; trade VARCHAR; pay_class VARCHAR; job VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR; ms BIGINT, milliseconds; reason VARCHAR; rule VARCHAR
WITH crew AS (
    SELECT
        *,
        sum(ms) OVER (PARTITION BY week) AS all_ms,
        sum(ms) OVER (PARTITION BY week, job) AS job_ms,
        row_number() OVER (PARTITION BY week ORDER BY job, booked_to) AS position
    FROM staged_crew_hours
),

parted AS (
    SELECT
        s.* REPLACE (c.job AS job, c.booked_to AS booked_to),
        c.position,
        (s.ms::HUGEINT * c.ms // CASE WHEN s.of_all THEN c.all_ms ELSE c.job_ms END)::BIGINT AS part,
        s.ms::HUGEINT * c.ms % CASE WHEN s.of_all THEN c.all_ms ELSE c.job_ms END AS remainder
    FROM staged_entry_shared AS s
    INNER JOIN crew AS c ON c.week = s.week
    WHERE list_contains($stays::VARCHAR[], s.stays) AND (s.of_all OR s.share_job = c.job)
),

-- An odd millisecond goes to the largest fraction, then to the place named first, by job and code.
evened AS (
    SELECT
        *,
        part + CASE
            WHEN row_number() OVER (PARTITION BY entry_batch, entry_row ORDER BY remainder DESC, position)
                <= ms - sum(part) OVER (PARTITION BY entry_batch, entry_row)
                THEN 1 ELSE 0 END AS part_ms
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
    NULL::VARCHAR AS cause,
    rework,
    part_ms::BIGINT AS ms,
    CASE WHEN of_all THEN 'all_crew_hours' ELSE 'crew_hours' END AS reason,
    rule
FROM evened
QUALIFY part_ms > 0 OR ms = 0 AND row_number() OVER (PARTITION BY entry_batch, entry_row ORDER BY position) = 1
UNION ALL
SELECT entry_batch, entry_row, worker_id, day, trade, pay_class, job, booked_to, cause, rework, ms, 'no_crew_hours' AS reason, rule
FROM staged_entry_shared
ANTI JOIN parted USING (entry_batch, entry_row)
WHERE list_contains($stays::VARCHAR[], stays)
ORDER BY entry_batch, entry_row, job, booked_to
