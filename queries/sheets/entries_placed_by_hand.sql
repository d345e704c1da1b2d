-- entries_placed_by_hand: where the entries belong now: those of lines tagged by hand as the tag says, all others as codes and rules do.
-- In:  $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT; worker_id VARCHAR; day DATE; trade VARCHAR; pay_class VARCHAR; job VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR; ms BIGINT, milliseconds; reason VARCHAR; rule VARCHAR; job_meant VARCHAR, of shared entries alone; is_shared BOOLEAN, by what the crew booked
WITH tagged AS (
    SELECT e.batch AS entry_batch, e.row AS entry_row, t.job, t.booked_to, t.cause, t.rework
    FROM known_entry($upto) AS e
    INNER JOIN current_hand_tag($upto) AS t ON t.line_batch = e.line_batch AND t.line_row = e.line_row
),

-- Rework that the tag does not speak of is what a rule says of all the hours, else the sheet.
otherwise AS (
    SELECT entry_batch, entry_row, CASE WHEN count(DISTINCT coalesce(rework, '')) = 1 THEN min(rework) END AS rework
    FROM staged_entry_placed
    SEMI JOIN tagged USING (entry_batch, entry_row)
    GROUP BY entry_batch, entry_row
),

jobs AS (
    SELECT DISTINCT job
    FROM current_job($upto)
),

by_hand AS (
    SELECT
        t.entry_batch,
        t.entry_row,
        e.worker_id,
        e.day,
        e.trade,
        e.pay_class,
        j.job,
        CASE
            WHEN t.booked_to IN ('OVERHEAD', 'ABSENCE', 'NON_PRODUCTIVE', 'UNTAGGED') THEN word_of(t.booked_to)
            ELSE coalesce(c.booked_to, 'untagged')
        END AS booked_to,
        coalesce(t.cause, c.cause) AS cause,
        CASE WHEN t.rework IS DISTINCT FROM 'none' THEN coalesce(t.rework, o.rework, e.rework) END AS rework,
        e.ms,
        'hand' AS reason,
        NULL::VARCHAR AS rule,
        NULL::VARCHAR AS job_meant,
        false AS is_shared
    FROM tagged AS t
    INNER JOIN staged_entry_to_place AS e ON e.entry_batch = t.entry_batch AND e.entry_row = t.entry_row
    LEFT JOIN otherwise AS o ON o.entry_batch = t.entry_batch AND o.entry_row = t.entry_row
    LEFT JOIN jobs AS j ON j.job = t.job
    LEFT JOIN staged_code AS c ON c.job IS NOT DISTINCT FROM t.job AND c.code = t.booked_to
)

SELECT entry_batch, entry_row, worker_id, day, trade, pay_class, job, booked_to, cause, rework, ms, reason, rule, job_meant, is_shared
FROM staged_entry_placed
ANTI JOIN by_hand USING (entry_batch, entry_row)
UNION ALL
SELECT entry_batch, entry_row, worker_id, day, trade, pay_class, job, booked_to, cause, rework, ms, reason, rule, job_meant, is_shared
FROM by_hand
ORDER BY entry_batch, entry_row, booked_to, job, cause, rework
