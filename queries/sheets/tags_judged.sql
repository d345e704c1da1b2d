-- tags_judged: the tags asked for, each with its line and whether it is to be kept.
-- In:  $with_closed BOOLEAN, entries of closed periods too; $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT; line_batch BIGINT; line_row BIGINT; worker_id VARCHAR; day DATE; ms BIGINT, milliseconds; job VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR; reason VARCHAR; of_own_job BOOLEAN; jobs BIGINT, in how many the entry is booked, as far as the tag asks; is_closed BOOLEAN; state VARCHAR, tag, as_before, closed or claimed
WITH asked AS (
    SELECT a.*, e.line_batch, e.line_row, e.worker_id, e.day, e.ms
    FROM staged_tag_asked AS a
    INNER JOIN known_entry($upto) AS e ON e.batch = a.entry_batch AND e.row = a.entry_row
),

booked AS (
    SELECT p.entry_batch, p.entry_row, p.job
    FROM known_posting($upto) AS p
    SEMI JOIN staged_tag_asked AS a ON a.entry_batch = p.entry_batch AND a.entry_row = p.entry_row AND a.of_own_job
    GROUP BY p.entry_batch, p.entry_row, p.job
    HAVING sum(p.ms) <> 0 OR NOT bool_or(p.ms <> 0)
),

own AS (
    SELECT entry_batch, entry_row, min(job) AS job, count(*) AS jobs
    FROM booked
    GROUP BY entry_batch, entry_row
),

placed AS (
    SELECT
        a.* EXCLUDE (job),
        CASE WHEN a.of_own_job THEN o.job ELSE a.job END AS job,
        CASE WHEN a.of_own_job THEN coalesce(o.jobs, 0) ELSE 1 END AS jobs,
        c.batch IS NOT NULL AS is_closed,
        k.batch IS NOT NULL AS is_claimed
    FROM asked AS a
    LEFT JOIN own AS o ON o.entry_batch = a.entry_batch AND o.entry_row = a.entry_row
    LEFT JOIN closed_entry($upto) AS c ON c.batch = a.entry_batch AND c.row = a.entry_row
    LEFT JOIN claimed_entry($upto) AS k ON k.batch = a.entry_batch AND k.row = a.entry_row
)

SELECT
    p.entry_batch,
    p.entry_row,
    p.line_batch,
    p.line_row,
    p.worker_id,
    p.day,
    p.ms,
    p.job,
    p.booked_to,
    p.cause,
    p.rework,
    p.reason,
    p.of_own_job,
    p.jobs,
    p.is_closed,
    CASE
        WHEN t.batch IS NOT NULL THEN 'as_before'
        WHEN p.is_claimed THEN 'claimed'
        WHEN p.is_closed AND NOT $with_closed::BOOLEAN THEN 'closed'
        ELSE 'tag'
    END AS state
FROM placed AS p
LEFT JOIN current_hand_tag($upto) AS t
    ON t.line_batch = p.line_batch
    AND t.line_row = p.line_row
    AND t.job IS NOT DISTINCT FROM p.job
    AND t.booked_to = p.booked_to
    AND t.cause IS NOT DISTINCT FROM p.cause
    AND t.rework IS NOT DISTINCT FROM p.rework
ORDER BY p.day, p.entry_batch, p.entry_row
