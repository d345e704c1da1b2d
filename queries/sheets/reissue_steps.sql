-- reissue_steps: line by line, what confirming an open re-issue would do.
-- In:  $upto BIGINT, the last batch that counts
-- Out: reissue VARCHAR, its id; file VARCHAR; sheet VARCHAR; worker_id VARCHAR; day DATE; step VARCHAR, keep, book, restore, wait, reverse or end; matched or refused where the line ended so and cannot be booked; line_id VARCHAR; place VARCHAR, file and line; entry VARCHAR, that stands or was reversed; reversal VARCHAR, that stands; ms BIGINT, milliseconds; booking_code VARCHAR; note VARCHAR
WITH standing AS (
    SELECT e.*
    FROM known_entry($upto) AS e
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
),

-- A worker whose name led to nobody then is the one that it leads to now.
open_lines AS (
    SELECT o.* REPLACE (coalesce(o.worker_id, s.worker_id, r.worker_id) AS worker_id)
    FROM open_reissued_line($upto) AS o
    LEFT JOIN standing AS s ON s.line_batch = o.line_batch AND s.line_row = o.line_row
    LEFT JOIN staged_parsed AS r ON r.line_batch = o.line_batch AND r.line_row = o.line_row
),

-- Of a line that was corrected only the newest entry can stand again.
fallen AS (
    SELECT e.*, r.batch || '.' || r.row AS reversal
    FROM (
        SELECT *
        FROM known_entry($upto)
        SEMI JOIN open_lines USING (line_batch, line_row)
        WHERE reverses_batch IS NULL
        QUALIFY row_number() OVER (PARTITION BY line_batch, line_row ORDER BY batch DESC, row DESC) = 1
    ) AS e
    INNER JOIN stored_entry($upto) AS r ON r.reverses_batch = e.batch AND r.reverses_row = e.row
    ANTI JOIN stored_entry($upto) AS u ON u.reverses_batch = r.batch AND u.reverses_row = r.row
),

steps_of_new AS (
    SELECT
        o.reissue,
        o.file_batch,
        o.file_row,
        o.sheet,
        o.worker_id,
        o.day,
        CASE
            WHEN s.batch IS NOT NULL THEN 'keep'
            WHEN x.batch IS NOT NULL THEN 'restore'
            WHEN h.outcome = 'matched' THEN 'matched'
            -- Of over 24 hours and held for this alone: a person has released it.
            WHEN r.reason = 'over_24_hours' AND h.reason = 're_issue' THEN 'book'
            WHEN (r.line_batch IS NULL OR r.reason IS NOT NULL) AND h.outcome = 'refused' THEN 'refused'
            WHEN r.line_batch IS NULL OR r.reason IS NOT NULL THEN 'wait'
            ELSE 'book'
        END AS step,
        o.line_batch,
        o.line_row,
        coalesce(s.batch || '.' || s.row, x.batch || '.' || x.row) AS entry,
        x.reversal,
        coalesce(s.ms, x.ms, r.ms) AS ms,
        coalesce(s.booking_code, x.booking_code, r.booking_code) AS booking_code,
        coalesce(s.note, x.note, r.note) AS note
    FROM open_lines AS o
    LEFT JOIN standing AS s ON s.line_batch = o.line_batch AND s.line_row = o.line_row
    LEFT JOIN fallen AS x ON x.line_batch = o.line_batch AND x.line_row = o.line_row
    LEFT JOIN staged_parsed AS r ON r.line_batch = o.line_batch AND r.line_row = o.line_row
    LEFT JOIN line_standing($upto) AS h ON h.line_batch = o.line_batch AND h.line_row = o.line_row
),

worker_days AS (
    SELECT DISTINCT reissue, file_batch, file_row, sheet, worker_id, day
    FROM open_lines
),

had AS (
    SELECT line_batch, line_row, batch || '.' || row AS entry, ms, booking_code, note, sheet, worker_id, day
    FROM standing
    UNION ALL
    SELECT r.line_batch, r.line_row, NULL AS entry, r.ms, r.booking_code, r.note, r.sheet, r.worker_id, r.day
    FROM staged_parsed AS r
    INNER JOIN line_standing($upto) AS h ON h.line_batch = r.line_batch AND h.line_row = r.line_row
    ANTI JOIN waiting_reissued_line($upto) AS o ON o.line_batch = r.line_batch AND o.line_row = r.line_row
    WHERE h.outcome = 'held'
),

taken_out AS (
    SELECT
        w.reissue,
        w.file_batch,
        w.file_row,
        w.sheet,
        w.worker_id,
        w.day,
        CASE WHEN h.entry IS NULL THEN 'end' ELSE 'reverse' END AS step,
        h.line_batch,
        h.line_row,
        h.entry,
        NULL::VARCHAR AS reversal,
        h.ms,
        h.booking_code,
        h.note
    FROM worker_days AS w
    INNER JOIN had AS h
        ON sheet_alike(h.sheet) = sheet_alike(w.sheet)
        AND h.worker_id = w.worker_id
        AND h.day = w.day
    ANTI JOIN open_lines AS o ON o.reissue = w.reissue AND o.line_batch = h.line_batch AND o.line_row = h.line_row
),

steps AS (
    SELECT * FROM steps_of_new
    UNION ALL
    SELECT * FROM taken_out
)

SELECT
    s.reissue,
    f.name AS file,
    s.sheet,
    CASE WHEN NOT starts_with(s.worker_id, chr(31)) THEN s.worker_id END AS worker_id,
    s.day,
    s.step,
    s.line_batch || '.' || s.line_row AS line_id,
    g.name || ':' || l.line AS place,
    s.entry,
    s.reversal,
    s.ms,
    s.booking_code,
    s.note
FROM steps AS s
INNER JOIN known_file($upto) AS f ON f.batch = s.file_batch AND f.row = s.file_row
INNER JOIN known_sheet_line($upto) AS l ON l.batch = s.line_batch AND l.row = s.line_row
INNER JOIN known_file($upto) AS g ON g.batch = l.file_batch AND g.row = l.file_row
ORDER BY s.file_batch, s.reissue, s.worker_id, s.day, s.booking_code, l.batch, l.row
