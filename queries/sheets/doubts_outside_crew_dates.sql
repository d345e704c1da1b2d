-- doubts_outside_crew_dates: workers booked on a day before they came or after they left.
-- In:  $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
WITH spans AS (
    SELECT worker_id, min(day) AS first_day, max(day) AS last_day
    FROM staged_doubt_entry
    GROUP BY worker_id
),

-- Most workers have all their days within one stay.
not_in_one_stay AS (
    SELECT s.worker_id
    FROM spans AS s
    ANTI JOIN current_crew($upto) AS c
        ON c.worker_id = s.worker_id
        AND c.active_from <= s.first_day
        AND coalesce(c.active_to, s.last_day) >= s.last_day
),

days AS (
    SELECT
        worker_id,
        day,
        list(entry ORDER BY batch, row) AS entries,
        string_agg(entry, ' ' ORDER BY batch, row) AS named,
        sum(ms)::BIGINT AS ms
    FROM staged_doubt_entry
    SEMI JOIN not_in_one_stay USING (worker_id)
    GROUP BY worker_id, day
),

in_crew AS (
    SELECT
        d.worker_id,
        d.day,
        bool_or(c.active_from <= d.day AND (c.active_to IS NULL OR c.active_to >= d.day)) AS is_active,
        max(c.active_to) FILTER (WHERE c.active_to < d.day) AS left_on,
        min(c.active_from) AS came_on
    FROM days AS d
    INNER JOIN current_crew($upto) AS c ON c.worker_id = d.worker_id
    GROUP BY d.worker_id, d.day
)

SELECT
    d.worker_id,
    d.day,
    d.entries,
    d.named || ' ' || coalesce(i.left_on, i.came_on) AS about,
    'worker ' || d.worker_id || ' has ' || hours_text(d.ms) || ' h on ' || d.day
        || coalesce(', after the end date ' || i.left_on, ', before the start date ' || i.came_on) AS message
FROM days AS d
INNER JOIN in_crew AS i ON i.worker_id = d.worker_id AND i.day = d.day
WHERE NOT i.is_active
ORDER BY d.day, d.worker_id
