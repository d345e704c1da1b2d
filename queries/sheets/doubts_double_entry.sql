-- doubts_double_entry: the same time of a worker at one place on two sheets, likely handed in twice.
-- In:  none
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
WITH on_two_sheets AS (
    SELECT worker_id, day, ms
    FROM staged_doubt_entry
    GROUP BY worker_id, day, ms
    HAVING min(handed_in) <> max(handed_in)
),

candidates AS (
    SELECT e.*
    FROM staged_doubt_entry AS e
    SEMI JOIN on_two_sheets AS t ON t.worker_id = e.worker_id AND t.day = e.day AND t.ms = e.ms
),

places AS (
    SELECT p.entry, string_agg(concat_ws(' ', p.job, p.booked_to), ', ' ORDER BY p.job, p.booked_to, p.ms) AS place
    FROM staged_doubt_place AS p
    SEMI JOIN candidates AS c ON c.entry = p.entry
    GROUP BY p.entry
),

alike AS (
    SELECT
        e.worker_id,
        e.day,
        e.ms,
        p.place,
        list(e.entry ORDER BY e.batch, e.row) AS entries,
        string_agg(e.entry, ' ' ORDER BY e.batch, e.row) AS about,
        count(DISTINCT e.handed_in) AS sheets,
        string_agg(DISTINCT e.handed_in, ' and ' ORDER BY e.handed_in) AS handed_in
    FROM candidates AS e
    INNER JOIN places AS p ON p.entry = e.entry
    GROUP BY e.worker_id, e.day, e.ms, p.place, e.booking_code, e.start_at
)

SELECT
    worker_id,
    day,
    entries,
    about,
    'worker ' || worker_id || ' has ' || hours_text(ms) || ' h booked to ' || place || ' on ' || day || ', on '
        || handed_in || '; likely handed in twice' AS message
FROM alike
WHERE sheets > 1
ORDER BY day, worker_id, about
