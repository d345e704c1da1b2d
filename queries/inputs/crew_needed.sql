-- crew_needed: workers who are not in the crew and have entries that stand, or can stand again.
-- In:  $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; entries BIGINT; ms DECIMAL(38,0), milliseconds; first_day DATE; last_day DATE
SELECT
    e.worker_id,
    count(*) AS entries,
    sum(e.ms)::DECIMAL(38,0) AS ms,
    min(e.day) AS first_day,
    max(e.day) AS last_day
FROM known_entry($upto) AS e
ANTI JOIN current_crew($upto) AS c ON c.worker_id = e.worker_id
ANTI JOIN (
    SELECT r.reverses_batch, r.reverses_row
    FROM stored_entry($upto) AS r
    INNER JOIN known_reversal($upto) AS v ON v.entry_batch = r.batch AND v.entry_row = r.row
    WHERE v.scope IN ('correction', 'file', 'batch')
) AS g ON g.reverses_batch = e.batch AND g.reverses_row = e.row
WHERE e.reverses_batch IS NULL
GROUP BY e.worker_id
ORDER BY e.worker_id
