-- lines_judged: parsed sheet lines with the reason to hold each, its key, and where it stands.
-- In:  $upto BIGINT, the last batch that counts; $last_line_row BIGINT; $last_entry_row BIGINT; $batch BIGINT, the batch being written
-- Out: line BIGINT; raw VARCHAR; line_key BLOB; line_batch BIGINT; line_row BIGINT; entry_row BIGINT; outcome VARCHAR, booked, held, already_booked or already_held; reason VARCHAR; message VARCHAR; sheet VARCHAR; worker_id VARCHAR; day DATE; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR
WITH based AS (
    SELECT
        *,
        concat(
            sealed(job_given),
            sealed(sheet),
            sealed(worker_id),
            sealed(coalesce(day::VARCHAR, date_text)),
            sealed(CASE
                WHEN ms IS NULL THEN duration_text
                WHEN hours_given THEN ms::VARCHAR
                ELSE concat_ws('..', start_time, finish_time, break_minutes)
            END),
            sealed(booking_code),
            sealed(note),
            sealed(pay_class),
            sealed(trade),
            sealed(rework)
        ) AS line_base
    FROM staged_reasoned
),

keyed AS (
    SELECT
        *,
        unhex(md5(line_base || row_number() OVER (PARTITION BY line_base ORDER BY place))) AS line_key
    FROM based
),

known AS (
    SELECT
        l.line_key,
        arg_max(o.outcome, (o.batch, o.row)) AS last_outcome
    FROM (
        SELECT line_key, batch, row FROM known_sheet_line($upto)
        UNION ALL
        SELECT line_key, line_batch AS batch, line_row AS row FROM known_corrected_line($upto)
    ) AS l
    LEFT JOIN known_line_outcome($upto) AS o ON o.line_batch = l.batch AND o.line_row = l.row
    WHERE l.line_key IN (SELECT line_key FROM keyed)
    GROUP BY l.line_key
),

placed AS (
    SELECT
        k.*,
        CASE
            WHEN n.line_key IS NOT NULL AND n.last_outcome IN ('held', 'refused') THEN 'already_held'
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
            + row_number() OVER (PARTITION BY outcome IN ('booked', 'held') ORDER BY place) END AS line_row,
    CASE WHEN outcome = 'booked'
        THEN $last_entry_row::BIGINT + row_number() OVER (PARTITION BY outcome ORDER BY place) END AS entry_row,
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
ORDER BY place
