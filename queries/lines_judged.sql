-- lines_judged: parsed sheet lines with the reason to hold each, its key, and where it stands.
-- In:  $upto BIGINT, the last batch that counts; $last_line_row BIGINT; $last_entry_row BIGINT; $batch BIGINT, the batch being written
-- Out: place BIGINT, in the file; line BIGINT; line_key BLOB; line_batch BIGINT; line_row BIGINT; entry_row BIGINT; outcome VARCHAR, booked, held, already_booked or already_held; reason VARCHAR; message VARCHAR; sheet VARCHAR; worker_id VARCHAR; day DATE; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR
-- Twice, not once and kept: the texts are long, and all but few are needed for their digest alone.
WITH based AS NOT MATERIALIZED (
    SELECT
        place,
        reason,
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
    FROM staged_parsed
),

firsts AS MATERIALIZED (
    SELECT place, reason, unhex(md5(line_base || '1')) AS first_key
    FROM based
),

twins AS (
    SELECT first_key
    FROM firsts
    GROUP BY first_key
    HAVING count(*) > 1
),

numbered AS (
    SELECT place, row_number() OVER (PARTITION BY first_key ORDER BY place) AS how_manieth
    FROM firsts
    WHERE first_key IN (SELECT first_key FROM twins)
),

later_twins AS (
    SELECT b.place, unhex(md5(b.line_base || n.how_manieth)) AS line_key
    FROM numbered AS n
    INNER JOIN based AS b USING (place)
    WHERE n.how_manieth > 1
),

keyed AS MATERIALIZED (
    SELECT f.place, f.reason, coalesce(t.line_key, f.first_key) AS line_key
    FROM firsts AS f
    LEFT JOIN later_twins AS t USING (place)
),

known AS (
    SELECT
        l.line_key,
        arg_max(o.outcome, (o.batch, o.row)) AS last_outcome
    FROM (
        SELECT line_key, batch, row FROM line_in_book($upto)
        UNION ALL
        SELECT line_key, line_batch AS batch, line_row AS row
        FROM known_corrected_line($upto)
        ANTI JOIN line_taken_out($upto) USING (line_batch, line_row)
    ) AS l
    LEFT JOIN known_line_outcome($upto) AS o ON o.line_batch = l.batch AND o.line_row = l.row
    WHERE l.line_key IN (SELECT line_key FROM keyed)
    GROUP BY l.line_key
),

placed AS (
    SELECT
        k.place,
        k.line_key,
        CASE
            WHEN n.line_key IS NOT NULL AND n.last_outcome IN ('held', 'refused') THEN 'already_held'
            WHEN n.line_key IS NOT NULL THEN 'already_booked'
            WHEN k.reason IS NOT NULL THEN 'held'
            ELSE 'booked'
        END AS outcome
    FROM keyed AS k
    LEFT JOIN known AS n USING (line_key)
),

-- Numbered apart from the other columns: sorting them along is what takes long.
ranked AS (
    SELECT
        place,
        line_key,
        outcome,
        row_number() OVER (PARTITION BY outcome IN ('booked', 'held') ORDER BY place) AS line_rank,
        row_number() OVER (PARTITION BY outcome ORDER BY place) AS entry_rank
    FROM placed
)

SELECT
    r.place,
    l.line,
    r.line_key,
    $batch::BIGINT AS line_batch,
    CASE WHEN r.outcome IN ('booked', 'held') THEN $last_line_row::BIGINT + r.line_rank END AS line_row,
    CASE WHEN r.outcome = 'booked' THEN $last_entry_row::BIGINT + r.entry_rank END AS entry_row,
    r.outcome,
    l.reason,
    l.message,
    l.sheet,
    l.worker_id,
    l.day,
    l.ms,
    l.start_time,
    l.finish_time,
    l.break_minutes,
    l.booking_code,
    l.job_given,
    l.note,
    l.pay_class,
    l.trade,
    l.rework,
    l.approved_by
FROM ranked AS r
INNER JOIN staged_parsed AS l USING (place)
ORDER BY r.place
