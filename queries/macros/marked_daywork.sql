-- marked_daywork: what each daywork sheet covers of each worker's day on its change by trade: booked when it was marked or its document made, booked now, and what was agreed instead of all. Work done again is left out.
CREATE MACRO marked_daywork(upto) AS TABLE
WITH row_of_sheet AS (FROM recorded_daywork_sheet(upto)),
sheet AS (
    SELECT DISTINCT
        job, change, daywork_sheet, day_from, day_to, agreed_on, mark, first_batch, first_row,
        covers_to
    FROM row_of_sheet
),
worked AS (
    SELECT job, booked_to AS change, day, worker_id, trade, batch, sum(ms) AS ms
    FROM known_posting(upto)
    WHERE rework IS NULL AND (job, booked_to) IN (SELECT (job, change) FROM sheet)
    GROUP BY ALL
),
done AS (
    SELECT
        w.job, w.change, w.day, w.worker_id, w.batch, w.ms,
        coalesce(w.trade, c.trade) AS trade, c.grade
    FROM worked AS w
    LEFT JOIN current_crew(upto) AS c ON c.worker_id = w.worker_id
    QUALIFY row_number() OVER (
        PARTITION BY w.job, w.change, w.day, w.worker_id, w.trade, w.batch
        ORDER BY
            c.active_from <= w.day DESC,
            CASE WHEN c.active_from <= w.day THEN c.active_from END DESC,
            c.active_from
    ) = 1
),
covered AS (
    SELECT
        s.job, s.change, s.daywork_sheet, s.agreed_on, s.mark, s.first_batch, s.first_row,
        d.day, d.worker_id, d.trade, d.grade,
        coalesce(sum(d.ms) FILTER (WHERE d.batch <= s.covers_to), 0) AS ms_marked,
        sum(d.ms) AS ms_now
    FROM sheet AS s
    INNER JOIN done AS d
        ON d.job = s.job AND d.change = s.change AND d.day BETWEEN s.day_from AND s.day_to
    GROUP BY ALL
)
SELECT c.*, r.agreed_ms
FROM covered AS c
LEFT JOIN row_of_sheet AS r
    ON r.job = c.job
    AND r.change = c.change
    AND r.daywork_sheet = c.daywork_sheet
    AND r.worker_id = c.worker_id
    AND r.day = c.day
