-- hours_moved: the time that the staged differences move from places to places, the most first.
-- In:  none
-- Out: from_job VARCHAR, null of time in no job; from_place VARCHAR; to_job VARCHAR; to_place VARCHAR; leaves_job BOOLEAN, some of it leaves a job; entries BIGINT; ms DECIMAL(38,0), milliseconds
WITH by_job AS (
    SELECT entry_batch, entry_row, job, sum(ms) < 0 AS leaves
    FROM staged_difference
    GROUP BY entry_batch, entry_row, job
),

leaving AS (
    SELECT entry_batch, entry_row, bool_or(leaves AND job IS NOT NULL) AS leaves_job
    FROM by_job
    GROUP BY entry_batch, entry_row
),

placed AS (
    SELECT entry_batch, entry_row, job, ms, concat_ws(' ', booked_to, cause, 'rework ' || rework) AS place
    FROM staged_difference
),

moved AS (
    SELECT
        entry_batch,
        entry_row,
        min(job) FILTER (WHERE ms < 0) AS from_job,
        array_to_string(list_sort(list(place) FILTER (WHERE ms < 0)), ', ') AS from_place,
        min(job) FILTER (WHERE ms > 0) AS to_job,
        array_to_string(list_sort(list(place) FILTER (WHERE ms > 0)), ', ') AS to_place,
        sum(ms) FILTER (WHERE ms > 0) AS ms
    FROM placed
    GROUP BY entry_batch, entry_row
    HAVING bool_or(ms < 0)
)

SELECT
    m.from_job,
    m.from_place,
    m.to_job,
    m.to_place,
    bool_or(l.leaves_job) AS leaves_job,
    count(*) AS entries,
    sum(m.ms)::DECIMAL(38,0) AS ms
FROM moved AS m
INNER JOIN leaving AS l USING (entry_batch, entry_row)
GROUP BY m.from_job, m.from_place, m.to_job, m.to_place
ORDER BY ms DESC, m.from_job, m.from_place, m.to_job, m.to_place
