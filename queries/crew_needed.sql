-- crew_needed: workers who are not in the crew and have entries that stand.
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
ANTI JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
GROUP BY e.worker_id
ORDER BY e.worker_id
