-- doubts_double_entry: the same time of a worker at one place on two sheets, likely handed in twice.
-- In:  none
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
WITH places AS (
    SELECT entry, string_agg(concat_ws(' ', job, booked_to), ', ' ORDER BY job, booked_to, ms) AS place
    FROM staged_doubt_place
    GROUP BY entry
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
    FROM staged_doubt_entry AS e
    INNER JOIN places AS p ON p.entry = e.entry
    GROUP BY e.worker_id, e.day, e.ms, p.place, e.booking_code, e.start_at
)

SELECT
    worker_id,
    day,
    entries,
    about,
    'worker ' || worker_id || ' has ' || hours_told(ms) || ' h at ' || place || ' on ' || day || ' on '
        || handed_in || '; likely handed in twice' AS message
FROM alike
WHERE sheets > 1
ORDER BY day, worker_id, about
