-- demo_counts: what came in on sheets: files' lines, booked and held by now, workers and jobs.
-- In:  $upto BIGINT, the last batch that counts
-- Out: lines BIGINT; booked BIGINT; held BIGINT; workers BIGINT; jobs BIGINT
WITH last_outcome AS (
    SELECT line_batch, line_row, outcome
    FROM known_line_outcome($upto)
    QUALIFY row_number() OVER (PARTITION BY line_batch, line_row ORDER BY batch DESC, row DESC) = 1
)

SELECT
    (SELECT count(*) FROM known_sheet_line($upto)) AS lines,
    (SELECT count(*) FROM known_entry($upto) WHERE reverses_batch IS NULL) AS booked,
    (SELECT count(*) FROM last_outcome WHERE outcome = 'held') AS held,
    (SELECT count(DISTINCT worker_id) FROM current_crew($upto)) AS workers,
    (SELECT count(*) FROM current_job($upto)) AS jobs
ORDER BY lines
