-- lines_judged: parsed sheet lines with what becomes of each, the reason to hold it, and where it stands.
-- In:  $last_line_row BIGINT; $batch BIGINT, the batch being written
-- Out: place BIGINT, in the file; line BIGINT; is_readable BOOLEAN; of_batch BIGINT, of the line of the book that it is; of_row BIGINT; line_batch BIGINT; line_row BIGINT; outcome VARCHAR, booked, held, already_booked or already_held; reason VARCHAR; message VARCHAR; sheet VARCHAR; worker_id VARCHAR; day DATE; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR
WITH placed AS (
    SELECT
        p.place,
        s.line_batch AS of_batch,
        s.line_row AS of_row,
        q.reason AS question,
        q.message,
        CASE
            WHEN s.standing IN ('held', 'refused') THEN 'already_held'
            WHEN s.place IS NOT NULL THEN 'already_booked'
            WHEN q.place IS NOT NULL OR p.reason IS NOT NULL THEN 'held'
            ELSE 'booked'
        END AS outcome
    FROM staged_parsed AS p
    LEFT JOIN staged_same AS s ON s.place = p.place
    LEFT JOIN staged_questioned AS q ON q.place = p.place
),

-- Numbered apart from the other columns: sorting them along is what takes long.
ranked AS (
    SELECT
        *,
        row_number() OVER (PARTITION BY outcome IN ('booked', 'held') ORDER BY place) AS line_rank
    FROM placed
)

SELECT
    r.place,
    l.line,
    l.reason IS NULL AS is_readable,
    r.of_batch,
    r.of_row,
    $batch::BIGINT AS line_batch,
    CASE WHEN r.outcome IN ('booked', 'held') THEN $last_line_row::BIGINT + r.line_rank END AS line_row,
    r.outcome,
    coalesce(r.question, l.reason) AS reason,
    CASE WHEN r.question IS NULL THEN l.message
        ELSE question_text(r.message, $batch::BIGINT || '.' || ($last_line_row::BIGINT + r.line_rank)) END AS message,
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
INNER JOIN staged_parsed AS l ON l.place = r.place
ORDER BY r.place
