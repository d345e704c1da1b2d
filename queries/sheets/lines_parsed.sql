-- lines_parsed: staged sheet lines with worker, day and duration established, or the reason to hold them.
-- In:  $load_day DATE, the day of the load, null for none
-- Out: line_batch BIGINT; line_row BIGINT; place BIGINT, in the file; line BIGINT; is_total BOOLEAN; sum_key VARCHAR, what a total is of; sheet VARCHAR; worker_id VARCHAR; worker_known BOOLEAN; date_text VARCHAR; day DATE; duration_text VARCHAR; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; break_unread VARCHAR, as written; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR; date_wrong VARCHAR; hours_wrong VARCHAR; reason VARCHAR, null of a line that can be booked; message VARCHAR
WITH timed AS (
    SELECT
        *,
        CASE
            WHEN hours_wrong IS NOT NULL THEN NULL
            WHEN hours IS NOT NULL THEN hours_ms
            ELSE (finish_min - start_min
                + CASE WHEN finish_min <= start_min THEN 1440 ELSE 0 END
                - break_min) * 60000
        END AS ms_written
    FROM staged_understood
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

explained AS (
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
FROM explained
ORDER BY place
