-- lines_parsed: staged sheet lines with worker, day and duration established, or the reason to hold them.
-- In:  $upto BIGINT, the last batch that counts; $load_day DATE, the day of the load, null for none
-- Out: line_batch BIGINT; line_row BIGINT; place BIGINT, in the file; line BIGINT; is_total BOOLEAN; sum_key VARCHAR, what a total is of; sheet VARCHAR; worker_id VARCHAR; worker_known BOOLEAN; date_text VARCHAR; day DATE; duration_text VARCHAR; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; break_unread VARCHAR, as written; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR; date_wrong VARCHAR; hours_wrong VARCHAR; reason VARCHAR, null of a line that can be booked; message VARCHAR
WITH crew AS (
    SELECT DISTINCT worker_id
    FROM current_crew($upto)
),

-- Each distinct text is understood once; a line has but few that no other line has.
worker_text AS (
    SELECT t.text, t.worker_id, c.worker_id IS NOT NULL AS is_known
    FROM (
        SELECT worker_id AS text, code_of(bare(worker_id)) AS worker_id
        FROM (SELECT DISTINCT worker_id FROM staged_raw)
    ) AS t
    LEFT JOIN crew AS c ON c.worker_id = t.worker_id
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
),

understood AS (
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
),

timed AS (
    SELECT
        *,
        CASE
            WHEN hours_wrong IS NOT NULL THEN NULL
            WHEN hours IS NOT NULL THEN hours_ms
            ELSE (finish_min - start_min
                + CASE WHEN finish_min <= start_min THEN 1440 ELSE 0 END
                - break_min) * 60000
        END AS ms_written
    FROM understood
),

parsed AS (
    SELECT
        line_batch,
        line_row,
        place,
        line,
        is_total,
        sum_key,
        sheet,
        worker_id,
        worker_known,
        date_text,
        day_written,
        CASE WHEN day_written BETWEEN DATE '1990-01-01' AND coalesce($load_day::DATE + INTERVAL 10 YEAR, DATE '9999-12-31')
            THEN day_written END AS day,
        CASE WHEN hours IS NOT NULL THEN hours ELSE nullif(concat_ws('..', start, finish, break_written), '') END AS duration_text,
        CASE WHEN ms_written >= 0 THEN ms_written END AS ms,
        CASE WHEN start_min IS NOT NULL THEN lpad(start, 5, '0') ELSE start END AS start_time,
        CASE WHEN finish_min IS NOT NULL THEN lpad(finish, 5, '0') ELSE finish END AS finish_time,
        break_min AS break_minutes,
        CASE WHEN break_min IS NULL THEN break_written END AS break_unread,
        booking_code,
        job_given,
        note,
        pay_class,
        trade,
        rework,
        approved_by,
        date_wrong,
        hours_wrong,
        CASE
            WHEN hours IS NOT NULL AND ms_written IS NULL THEN NULL
            WHEN start IS NOT NULL AND start_min IS NULL
                THEN 'start "' || start || '" is not a valid time of day; write it as 7:30'
            WHEN finish IS NOT NULL AND finish_min IS NULL
                THEN 'finish "' || finish || '" is not a valid time of day; write it as 16:00'
            WHEN break_min IS NULL
                THEN 'break_minutes "' || break_written || '" is not a number of minutes; write it as 30'
        END AS times_wrong
    FROM timed
),

reasoned AS (
    SELECT
        *,
        CASE
            WHEN worker_id IS NULL THEN 'worker_missing'
            WHEN NOT worker_known THEN 'worker_unknown'
            WHEN date_text IS NULL THEN 'date_missing'
            WHEN day_written IS NULL THEN 'date_unreadable'
            WHEN day IS NULL THEN 'date_out_of_range'
            WHEN duration_text IS NULL THEN 'hours_missing'
            WHEN times_wrong IS NOT NULL THEN 'times_unreadable'
            WHEN ms IS NULL THEN 'hours_unreadable'
            WHEN ms > 86400000 THEN 'over_24_hours'
        END AS reason
    FROM parsed
),

told AS (
    SELECT
        *,
        CASE reason
            WHEN 'worker_missing' THEN 'no worker; write the worker_id and load again'
            WHEN 'worker_unknown' THEN 'worker "' || worker_id || '" is not in the crew; load the crew with this worker, or correct the worker_id'
            WHEN 'date_missing' THEN 'no date; write it as 2026-05-31'
            WHEN 'date_unreadable' THEN coalesce(date_wrong, 'date "' || date_text || '" is not a valid date; write it as 2026-05-31')
            WHEN 'date_out_of_range' THEN 'date "' || date_text || '" is before 1990 or more than ten years ahead; correct it'
            WHEN 'hours_missing' THEN 'no hours; write 7.5 or 7:30, or a start and a finish'
            WHEN 'times_unreadable' THEN times_wrong
            WHEN 'hours_unreadable' THEN
                CASE
                    WHEN hours_wrong IS NOT NULL THEN hours_wrong
                    WHEN regexp_full_match(duration_text, '[0-9]+,[0-9]+')
                        THEN 'hours "' || duration_text || '" use a decimal comma; write ' || replace(duration_text, ',', '.')
                    ELSE 'hours "' || duration_text || '" is not a valid duration; write 7.5 or 7:30'
                END
            WHEN 'over_24_hours' THEN 'hours "' || duration_text || '" exceed 24 hours; split or correct the line'
        END AS message
    FROM reasoned
)

SELECT * EXCLUDE (day_written, times_wrong)
FROM told
ORDER BY place
