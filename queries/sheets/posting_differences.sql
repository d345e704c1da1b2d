-- posting_differences: the signed postings that bring entries from where they stand to where they belong.
-- In:  $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT; worker_id VARCHAR; day DATE; trade VARCHAR; pay_class VARCHAR; job VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR; ms BIGINT, milliseconds; reason VARCHAR; rule VARCHAR
WITH signed AS (
    SELECT entry_batch, entry_row, job, booked_to, cause, rework, ms, reason, rule, true AS is_new
    FROM staged_entry_placed
    UNION ALL
    SELECT entry_batch, entry_row, job, booked_to, cause, rework, -ms AS ms, NULL AS reason, NULL AS rule, false AS is_new
    FROM known_posting($upto)
    SEMI JOIN staged_entry_to_place USING (entry_batch, entry_row)
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
        max(rule) AS rule
    FROM signed
    GROUP BY entry_batch, entry_row, job, booked_to, cause, rework
    HAVING sum(ms) <> 0 OR NOT bool_or(NOT is_new)
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
INNER JOIN staged_entry_to_place AS e USING (entry_batch, entry_row)
ORDER BY e.day, d.entry_batch, d.entry_row, d.ms, d.booked_to, d.job, d.cause, d.rework
