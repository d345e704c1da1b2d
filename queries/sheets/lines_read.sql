-- lines_read: lines that are held, ended without an entry or were corrected, as they were written or as they read now.
-- In:  $as_corrected BOOLEAN; $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; standing VARCHAR, held, refused, matched or booked; held_for VARCHAR; is_written BOOLEAN, so it was written; is_now BOOLEAN, so it reads now; sheet VARCHAR, folded; week DATE, of a line without a sheet; worker_id VARCHAR; date_text VARCHAR; duration VARCHAR; start_time VARCHAR; finish_time VARCHAR; break_text VARCHAR; booking_code VARCHAR; job VARCHAR; is_job_named BOOLEAN; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; sheet_name VARCHAR, as written
WITH corrected AS (
    SELECT DISTINCT line_batch, line_row
    FROM known_line_correction($upto)
)

SELECT
    a.line_batch,
    a.line_row,
    o.outcome AS standing,
    CASE WHEN o.outcome = 'held' THEN o.reason END AS held_for,
    NOT $as_corrected::BOOLEAN AS is_written,
    o.outcome IN ('held', 'refused') AND ($as_corrected::BOOLEAN OR c.line_batch IS NULL) AS is_now,
    a.sheet,
    a.week,
    a.worker_id,
    a.date_text,
    a.duration,
    a.start_time,
    a.finish_time,
    a.break_text,
    a.booking_code,
    a.job,
    a.is_job_named,
    a.note,
    a.pay_class,
    a.trade,
    a.rework,
    a.sheet_name
FROM staged_alike AS a
INNER JOIN staged_held AS o ON o.line_batch = a.line_batch AND o.line_row = a.line_row
LEFT JOIN corrected AS c ON c.line_batch = a.line_batch AND c.line_row = a.line_row
WHERE NOT $as_corrected::BOOLEAN OR (c.line_batch IS NOT NULL AND o.outcome IN ('held', 'refused', 'matched'))
ORDER BY a.line_batch, a.line_row
