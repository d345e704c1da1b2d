-- lines_parsed: staged sheet lines with worker, day and duration established, or the reason to hold them.
-- In:  $upto BIGINT, the last batch that counts; $load_day DATE, the day of the load, null for none
-- Out: line_batch BIGINT; line_row BIGINT; place BIGINT, in the file; line BIGINT; is_total BOOLEAN; sum_key VARCHAR, what a total is of; sheet VARCHAR; worker_id VARCHAR; worker_known BOOLEAN; date_text VARCHAR; day DATE; duration_text VARCHAR; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; break_unread VARCHAR, as written; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR; date_wrong VARCHAR; hours_wrong VARCHAR; reason VARCHAR, null of a line that can be booked; message VARCHAR
WITH workers AS (
    SELECT DISTINCT worker_id
    FROM current_crew($upto)
),

clocked AS (
    SELECT
        *,
        CASE WHEN regexp_full_match(start, '([01]?[0-9]|2[0-3]):[0-5][0-9]')
            THEN split_part(start, ':', 1)::BIGINT * 60 + split_part(start, ':', 2)::BIGINT END AS start_min,
        CASE WHEN regexp_full_match(finish, '([01]?[0-9]|2[0-4]):[0-5][0-9]')
            THEN split_part(finish, ':', 1)::BIGINT * 60 + split_part(finish, ':', 2)::BIGINT END AS finish_min,
        CASE WHEN break_minutes IS NULL THEN 0
            WHEN regexp_full_match(break_minutes, '[0-9]{1,4}') THEN break_minutes::BIGINT END AS break_min
    FROM staged_raw
),

timed AS (
    SELECT
        *,
        CASE
            WHEN hours_wrong IS NOT NULL THEN NULL
            WHEN regexp_full_match(hours, '[0-9]{1,6}(\.[0-9]{1,5})?')
                THEN split_part(hours, '.', 1)::BIGINT * 3600000
                    + rpad(split_part(hours, '.', 2), 5, '0')::BIGINT * 36
            WHEN regexp_full_match(hours, '[0-9]{1,6}:[0-5][0-9](:[0-5][0-9])?')
                THEN split_part(hours, ':', 1)::BIGINT * 3600000
                    + split_part(hours, ':', 2)::BIGINT * 60000
                    + coalesce(nullif(split_part(hours, ':', 3), ''), '0')::BIGINT * 1000
            WHEN hours IS NULL
                THEN (finish_min - start_min
                    + CASE WHEN finish_min <= start_min THEN 1440 ELSE 0 END
                    - break_min) * 60000
        END AS ms
    FROM clocked
),

parsed AS (
    SELECT
        t.line_batch,
        t.line_row,
        t.place,
        t.line,
        t.is_total,
        t.sum_key,
        t.sheet,
        code_of(t.worker_id) AS worker_id,
        w.worker_id IS NOT NULL AS worker_known,
        t.date AS date_text,
        CASE WHEN regexp_full_match(t.date, '[0-9]{4}-[0-9]{2}-[0-9]{2}([T ]00:00(:00(\.0+)?)?)?')
            THEN TRY_CAST(left(t.date, 10) AS DATE) END AS day_written,
        CASE WHEN day_written BETWEEN DATE '1990-01-01' AND coalesce($load_day::DATE + INTERVAL 10 YEAR, DATE '9999-12-31')
            THEN day_written END AS day,
        coalesce(t.hours, nullif(concat_ws('..', t.start, t.finish, t.break_minutes), '')) AS duration_text,
        CASE WHEN t.ms >= 0 THEN t.ms END AS ms,
        CASE WHEN t.start_min IS NOT NULL THEN lpad(t.start, 5, '0') ELSE t.start END AS start_time,
        CASE WHEN t.finish_min IS NOT NULL THEN lpad(t.finish, 5, '0') ELSE t.finish END AS finish_time,
        t.break_min AS break_minutes,
        CASE WHEN t.break_min IS NULL THEN t.break_minutes END AS break_unread,
        code_of(t.booking_code) AS booking_code,
        code_of(coalesce(t.job, t.default_job)) AS job_given,
        t.note,
        t.pay_class,
        word_of(t.trade) AS trade,
        word_of(t.rework) AS rework,
        t.approved_by,
        t.date_wrong,
        t.hours_wrong,
        CASE
            WHEN t.hours IS NOT NULL AND t.ms IS NULL THEN NULL
            WHEN t.start IS NOT NULL AND t.start_min IS NULL
                THEN 'start "' || t.start || '" is not a time of day; write it as 7:30'
            WHEN t.finish IS NOT NULL AND t.finish_min IS NULL
                THEN 'finish "' || t.finish || '" is not a time of day; write it as 16:00'
            WHEN t.break_min IS NULL
                THEN 'break_minutes "' || t.break_minutes || '" is not a number of minutes; write it as 30'
        END AS times_wrong
    FROM timed AS t
    LEFT JOIN workers AS w ON w.worker_id = code_of(t.worker_id)
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
            WHEN 'worker_missing' THEN 'no worker is named; write the worker_id and load again'
            WHEN 'worker_unknown' THEN 'worker "' || worker_id || '" is not in the crew; load the crew with this worker, or correct the worker_id'
            WHEN 'date_missing' THEN 'no date; write it as 2026-05-31'
            WHEN 'date_unreadable' THEN coalesce(date_wrong, 'date "' || date_text || '" is not a day of the calendar written as 2026-05-31')
            WHEN 'date_out_of_range' THEN 'date "' || date_text || '" is before 1990 or more than ten years ahead; correct it'
            WHEN 'hours_missing' THEN 'no hours; write 7.5 or 7:30, or a start and a finish'
            WHEN 'times_unreadable' THEN times_wrong
            WHEN 'hours_unreadable' THEN
                CASE
                    WHEN hours_wrong IS NOT NULL THEN hours_wrong
                    WHEN regexp_full_match(duration_text, '[0-9]+,[0-9]+')
                        THEN 'hours "' || duration_text || '" use a decimal comma; write ' || replace(duration_text, ',', '.')
                    ELSE 'hours "' || duration_text || '" are no duration; write 7.5 or 7:30'
                END
            WHEN 'over_24_hours' THEN 'hours "' || duration_text || '" are more than a day of 24 hours; split or correct the line'
        END AS message
    FROM reasoned
)

SELECT * EXCLUDE (day_written, times_wrong)
FROM told
ORDER BY place
