-- entries_shared: of the entries placed those whose hours are shared out by what the crew booked in their week.
-- In:  $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT; worker_id VARCHAR; day DATE; week DATE, its first day; trade VARCHAR; pay_class VARCHAR; share_job VARCHAR, whose crew counts, null for none; of_all BOOLEAN, the crew of all jobs counts; job VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR; ms BIGINT, milliseconds; rule VARCHAR; stays VARCHAR, no, closed (it is not split anew unasked) or claimed (it is not split anew)
WITH shared AS (
    SELECT p.*, p.job_meant IS NULL AND e.job_given IS NULL AS of_all
    FROM staged_entry_placed AS p
    INNER JOIN staged_entry_to_place AS e USING (entry_batch, entry_row)
    WHERE p.is_shared
)

SELECT
    s.entry_batch,
    s.entry_row,
    s.worker_id,
    s.day,
    week_begun(s.day, w.first) AS week,
    s.trade,
    s.pay_class,
    s.job_meant AS share_job,
    s.of_all,
    s.job,
    s.booked_to,
    s.cause,
    s.rework,
    s.ms,
    s.rule,
    -- Here alone is said what stays as it was split: entries of closed periods, and those claimed.
    CASE
        WHEN k.batch IS NOT NULL THEN 'claimed'
        WHEN EXISTS (
            SELECT 1
            FROM current_closing($upto) AS c
            WHERE c.closed_to >= s.day AND c.sequence >= s.entry_batch
        ) THEN 'closed'
        ELSE 'no'
    END AS stays
FROM shared AS s
CROSS JOIN first_weekday($upto) AS w
LEFT JOIN claimed_entry($upto) AS k ON k.batch = s.entry_batch AND k.row = s.entry_row
ORDER BY s.entry_batch, s.entry_row
