-- spots_to_tag: what is left to tag, by worker, day, code, note and job: what its place is looked for by.
-- In:  $upto BIGINT, the last batch that counts
-- Out: number BIGINT; why VARCHAR; code VARCHAR; job VARCHAR; worker_id VARCHAR; day DATE; week DATE, its first day; trade VARCHAR; note VARCHAR; ms DECIMAL(38,0), milliseconds; entries BIGINT
WITH left_over AS (
    SELECT
        l.why,
        e.booking_code AS code,
        l.job,
        e.worker_id,
        e.day,
        coalesce(e.trade, c.trade) AS trade,
        e.note,
        l.ms,
        l.entry_batch,
        l.entry_row
    FROM staged_left AS l
    INNER JOIN known_entry($upto) AS e ON e.batch = l.entry_batch AND e.row = l.entry_row
    LEFT JOIN current_crew($upto) AS c ON c.worker_id = e.worker_id
    QUALIFY row_number() OVER (
        PARTITION BY l.entry_batch, l.entry_row, l.place
        ORDER BY c.active_from <= e.day DESC,
            CASE WHEN c.active_from <= e.day THEN c.active_from END DESC,
            c.active_from
    ) = 1
)

SELECT
    row_number() OVER (ORDER BY why, code, job, worker_id, day, note, trade) AS number,
    why,
    code,
    job,
    worker_id,
    day,
    week_begun(day, any_value(w.first)) AS week,
    trade,
    note,
    sum(ms)::DECIMAL(38,0) AS ms,
    count(DISTINCT (entry_batch, entry_row)) AS entries
FROM left_over
CROSS JOIN first_weekday($upto) AS w
GROUP BY why, code, job, worker_id, day, note, trade
ORDER BY number
