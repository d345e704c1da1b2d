-- doubts_far_date: entries of a day far from the days of most other lines of their file.
-- In:  $days BIGINT, a gap of more is far
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
WITH days AS (
    SELECT file_id, day, count(*) AS lines, lag(day) OVER (PARTITION BY file_id ORDER BY day) AS day_before
    FROM staged_doubt_entry
    GROUP BY file_id, day
),

stretches AS (
    SELECT
        file_id,
        day,
        lines,
        sum(CASE WHEN day - day_before > $days::BIGINT THEN 1 ELSE 0 END) OVER (PARTITION BY file_id ORDER BY day) AS stretch
    FROM days
),

counted AS (
    SELECT file_id, stretch, sum(lines) AS lines, min(day) AS first_day, max(day) AS last_day
    FROM stretches
    GROUP BY file_id, stretch
),

main AS (
    SELECT file_id, stretch, first_day, last_day
    FROM counted
    QUALIFY row_number() OVER (PARTITION BY file_id ORDER BY lines DESC, last_day DESC) = 1
)

SELECT
    e.worker_id,
    e.day,
    [e.entry] AS entries,
    e.entry AS about,
    'worker ' || e.worker_id || ' has ' || hours_told(e.ms) || ' h on ' || e.day || ', and most lines of ' || e.file
        || ' are of ' || m.first_day || ' to ' || m.last_day AS message
FROM staged_doubt_entry AS e
INNER JOIN main AS m ON m.file_id = e.file_id
WHERE e.day NOT BETWEEN m.first_day AND m.last_day
ORDER BY e.day, e.worker_id, e.batch, e.row
