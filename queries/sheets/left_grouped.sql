-- left_grouped: what is left to tag by code, worker or file, the most time first.
-- In:  $by VARCHAR, code, worker or file; $upto BIGINT, the last batch that counts
-- Out: why VARCHAR; key VARCHAR, null where no code is written; job VARCHAR; ms DECIMAL(38,0), milliseconds; entries BIGINT; workers BIGINT; first_day DATE; last_day DATE
WITH named AS (
    SELECT
        p.why,
        p.job,
        p.ms,
        p.entry_batch,
        p.entry_row,
        e.worker_id,
        e.day,
        CASE $by::VARCHAR WHEN 'code' THEN e.booking_code WHEN 'worker' THEN e.worker_id ELSE f.name END AS key
    FROM staged_left AS p
    INNER JOIN known_entry($upto) AS e ON e.batch = p.entry_batch AND e.row = p.entry_row
    INNER JOIN known_sheet_line($upto) AS l ON l.batch = e.line_batch AND l.row = e.line_row
    INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
)

SELECT
    why,
    key,
    job,
    sum(ms)::DECIMAL(38,0) AS ms,
    count(DISTINCT (entry_batch, entry_row)) AS entries,
    count(DISTINCT worker_id) AS workers,
    min(day) AS first_day,
    max(day) AS last_day
FROM named
GROUP BY why, key, job
ORDER BY ms DESC, why, key, job
