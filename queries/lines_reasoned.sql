-- lines_reasoned: parsed sheet lines with the reason to hold each, null for those that can be booked.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; place BIGINT; line BIGINT; sheet VARCHAR; worker_id VARCHAR; worker_known BOOLEAN; date_text VARCHAR; day DATE; duration_text VARCHAR; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR; hours_given BOOLEAN; reason VARCHAR; message VARCHAR
WITH reasoned AS (
    SELECT
        *,
        CASE
            WHEN worker_id IS NULL THEN 'worker_missing'
            WHEN NOT worker_known THEN 'worker_unknown'
            WHEN date_text IS NULL THEN 'date_missing'
            WHEN day IS NULL THEN 'date_unreadable'
            WHEN duration_text IS NULL THEN 'hours_missing'
            WHEN ms IS NULL THEN 'hours_unreadable'
            WHEN ms > 86400000 THEN 'over_24_hours'
        END AS reason
    FROM staged_parsed
),

told AS (
    SELECT
        *,
        CASE reason
            WHEN 'worker_missing' THEN 'no worker is named; write the worker_id and load again'
            WHEN 'worker_unknown' THEN 'worker "' || worker_id || '" is not in the crew; load the crew with this worker, or correct the worker_id'
            WHEN 'date_missing' THEN 'no date; write it as 2026-05-31'
            WHEN 'date_unreadable' THEN coalesce(date_wrong, 'date "' || date_text || '" is not a day of the calendar written as 2026-05-31')
            WHEN 'hours_missing' THEN 'no hours; write 7.5 or 7:30, or a start and a finish'
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

SELECT
    line_batch,
    line_row,
    place,
    line,
    sheet,
    worker_id,
    worker_known,
    date_text,
    day,
    duration_text,
    ms,
    start_time,
    finish_time,
    break_minutes,
    booking_code,
    job_given,
    note,
    pay_class,
    trade,
    rework,
    approved_by,
    hours_given,
    reason,
    message
FROM told
ORDER BY place
