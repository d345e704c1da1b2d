-- lines_understood: the texts of staged sheet lines, trimmed, folded and understood, each different text once.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; place BIGINT, in the file; line BIGINT; is_total BOOLEAN; sum_key VARCHAR, what a total is of; sheet VARCHAR; worker_id VARCHAR; worker_known BOOLEAN; date_text VARCHAR; day_written DATE; hours VARCHAR; hours_ms BIGINT, milliseconds; start VARCHAR; start_min BIGINT; finish VARCHAR; finish_min BIGINT; break_written VARCHAR; break_min BIGINT; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR; date_wrong VARCHAR; hours_wrong VARCHAR
-- Each distinct text is understood once; a line has but few that no other line has.
WITH worker_text AS (
    SELECT t.text, t.worker_id, c.worker_id IS NOT NULL AS is_known
    FROM (
        SELECT worker_id AS text, code_of(bare(worker_id)) AS worker_id
        FROM (SELECT DISTINCT worker_id FROM staged_raw)
    ) AS t
    LEFT JOIN (SELECT DISTINCT worker_id FROM staged_crew_known) AS c ON c.worker_id = t.worker_id
),

date_text AS (
    SELECT text, written, day_of(written) AS day
    FROM (SELECT date AS text, bare(date) AS written FROM (SELECT DISTINCT date FROM staged_raw))
),

hours_text AS (
    SELECT text, written, duration_ms(written) AS ms
    FROM (SELECT hours AS text, bare(hours) AS written FROM (SELECT DISTINCT hours FROM staged_raw))
),

time_text AS (
    SELECT text, written, minute_of_day(written) AS minute
    FROM (
        SELECT text, bare(text) AS written
        FROM (SELECT start AS text FROM staged_raw UNION SELECT finish AS text FROM staged_raw)
    )
),

break_text AS (
    SELECT text, written, minutes_of(written) AS minutes
    FROM (
        SELECT break_minutes AS text, bare(break_minutes) AS written
        FROM (SELECT DISTINCT break_minutes FROM staged_raw)
    )
),

code_text AS (
    SELECT text, code_of(bare(text)) AS code
    FROM (
        SELECT booking_code AS text FROM staged_raw
        UNION
        SELECT job AS text FROM staged_raw
        UNION
        SELECT default_job AS text FROM staged_raw
    )
),

word_text AS (
    SELECT text, word_of(bare(text)) AS word
    FROM (SELECT trade AS text FROM staged_raw UNION SELECT rework AS text FROM staged_raw)
)

SELECT
    t.line_batch,
    t.line_row,
    t.place,
    t.line,
    t.is_total,
    t.sum_key,
    bare(t.sheet) AS sheet,
    w.worker_id,
    coalesce(w.is_known, false) AS worker_known,
    d.written AS date_text,
    d.day AS day_written,
    h.written AS hours,
    h.ms AS hours_ms,
    s.written AS start,
    CASE WHEN s.minute < 1440 THEN s.minute END AS start_min,
    f.written AS finish,
    f.minute AS finish_min,
    b.written AS break_written,
    CASE WHEN b.written IS NULL THEN 0 ELSE b.minutes END AS break_min,
    k.code AS booking_code,
    coalesce(j.code, o.code) AS job_given,
    bare(t.note) AS note,
    bare(t.pay_class) AS pay_class,
    r.word AS trade,
    q.word AS rework,
    bare(t.approved_by) AS approved_by,
    t.date_wrong,
    t.hours_wrong
FROM staged_raw AS t
LEFT JOIN worker_text AS w ON w.text = t.worker_id
LEFT JOIN date_text AS d ON d.text = t.date
LEFT JOIN hours_text AS h ON h.text = t.hours
LEFT JOIN time_text AS s ON s.text = t.start
LEFT JOIN time_text AS f ON f.text = t.finish
LEFT JOIN break_text AS b ON b.text = t.break_minutes
LEFT JOIN code_text AS k ON k.text = t.booking_code
LEFT JOIN code_text AS j ON j.text = t.job
LEFT JOIN code_text AS o ON o.text = t.default_job
LEFT JOIN word_text AS r ON r.text = t.trade
LEFT JOIN word_text AS q ON q.text = t.rework
ORDER BY t.place
