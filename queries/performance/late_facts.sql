-- late_facts: what was recorded after a batch and is dated by a day: bookings, budgets, measurements.
-- In:  $job VARCHAR, null for the whole yard; $day DATE, inclusive; $after BIGINT, a batch; $upto BIGINT, the last batch that counts
-- Out: kind VARCHAR, booked, budget, measured or withdrawn (a measurement); job VARCHAR; part VARCHAR; day DATE; entry VARCHAR, as batch.row; worker_id VARCHAR; ms BIGINT, milliseconds; reason VARCHAR; recorded_in BIGINT, the batch
WITH late AS (
    SELECT
        'booked' AS kind,
        job,
        booked_to AS part,
        day,
        entry_batch || '.' || entry_row AS entry,
        worker_id,
        ms,
        reason,
        batch AS recorded_in,
        row
    FROM known_posting($upto)
    WHERE ms <> 0
    UNION ALL
    SELECT 'budget', job, part, counts_from, NULL, NULL, ms, source, batch, row
    FROM known_budget_posting($upto)
    UNION ALL
    SELECT 'measured', job, work_package, day, NULL, NULL, NULL, note, batch, row
    FROM known_progress($upto)
    UNION ALL
    SELECT 'withdrawn', p.job, p.work_package, p.day, NULL, NULL, NULL, w.reason, w.batch, w.row
    FROM known_withdrawal($upto) AS w
    INNER JOIN known_progress($upto) AS p ON p.batch = w.fact_batch AND p.row = w.fact_row
    WHERE w.table_name = 'progress'
)

SELECT kind, job, part, day, entry, worker_id, ms, reason, recorded_in
FROM late
WHERE recorded_in > $after AND day <= $day AND ($job::VARCHAR IS NULL OR job = $job)
ORDER BY kind, recorded_in, row
