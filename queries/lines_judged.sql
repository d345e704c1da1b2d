-- lines_judged: parsed sheet lines with the reason to hold each, its key, and where it stands.
-- In:  $upto BIGINT, the last batch that counts; $last_line_row BIGINT; $last_entry_row BIGINT; $batch BIGINT, the batch being written
-- Out: line BIGINT; raw VARCHAR; line_key BLOB; line_batch BIGINT; line_row BIGINT; entry_row BIGINT; outcome VARCHAR, booked, held, already_booked or already_held; reason VARCHAR; message VARCHAR; sheet VARCHAR; worker_id VARCHAR; day DATE; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR
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
            WHEN 'date_unreadable' THEN 'date "' || date_text || '" is not a day of the calendar written as 2026-05-31'
            WHEN 'hours_missing' THEN 'no hours; write 7.5 or 7:30, or a start and a finish'
            WHEN 'hours_unreadable' THEN
                CASE
                    WHEN regexp_full_match(duration_text, '[0-9]+,[0-9]+')
                        THEN 'hours "' || duration_text || '" use a decimal comma; write ' || replace(duration_text, ',', '.')
                    ELSE 'hours "' || duration_text || '" are no duration; write 7.5 or 7:30'
                END
            WHEN 'over_24_hours' THEN 'hours "' || duration_text || '" are more than a day of 24 hours; split or correct the line'
        END AS message
    FROM reasoned
),

based AS (
    SELECT
        *,
        concat(
            sealed(job_given),
            sealed(sheet),
            sealed(worker_id),
            sealed(coalesce(day::VARCHAR, date_text)),
            sealed(coalesce(ms::VARCHAR, duration_text)),
            sealed(booking_code),
            sealed(note),
            sealed(pay_class),
            sealed(trade),
            sealed(rework)
        ) AS line_base
    FROM told
),

keyed AS (
    SELECT
        *,
        unhex(md5(line_base || row_number() OVER (PARTITION BY line_base ORDER BY line))) AS line_key
    FROM based
),

known AS (
    SELECT
        l.line_key,
        arg_max(o.outcome, (o.batch, o.row)) AS last_outcome
    FROM known_sheet_line($upto) AS l
    LEFT JOIN known_line_outcome($upto) AS o ON o.line_batch = l.batch AND o.line_row = l.row
    WHERE l.line_key IN (SELECT line_key FROM keyed)
    GROUP BY l.line_key
),

placed AS (
    SELECT
        k.*,
        CASE
            WHEN n.line_key IS NOT NULL AND n.last_outcome = 'held' THEN 'already_held'
            WHEN n.line_key IS NOT NULL THEN 'already_booked'
            WHEN k.reason IS NOT NULL THEN 'held'
            ELSE 'booked'
        END AS outcome
    FROM keyed AS k
    LEFT JOIN known AS n USING (line_key)
)

SELECT
    line,
    raw,
    line_key,
    $batch::BIGINT AS line_batch,
    CASE WHEN outcome IN ('booked', 'held')
        THEN $last_line_row::BIGINT
            + row_number() OVER (PARTITION BY outcome IN ('booked', 'held') ORDER BY line) END AS line_row,
    CASE WHEN outcome = 'booked'
        THEN $last_entry_row::BIGINT + row_number() OVER (PARTITION BY outcome ORDER BY line) END AS entry_row,
    outcome,
    reason,
    message,
    sheet,
    worker_id,
    day,
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
    approved_by
FROM placed
ORDER BY line
