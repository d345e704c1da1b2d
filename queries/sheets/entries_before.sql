-- entries_before: the entries that corrected lines were booked as at first, of the workers and days of the parsed lines: so these were written.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT; line_batch BIGINT; line_row BIGINT; sheet VARCHAR; worker_id VARCHAR; day DATE; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; standing VARCHAR, the line's newest outcome; is_written BOOLEAN; is_now BOOLEAN
SELECT
    e.batch,
    e.row,
    e.line_batch,
    e.line_row,
    e.sheet,
    e.worker_id,
    e.day,
    e.ms,
    e.start_time,
    e.finish_time,
    e.break_minutes,
    e.booking_code,
    e.job_given,
    e.note,
    e.pay_class,
    e.trade,
    e.rework,
    o.outcome AS standing,
    true AS is_written,
    false AS is_now
FROM known_entry($upto) AS e
SEMI JOIN staged_parsed AS d ON d.worker_id = e.worker_id AND d.day = e.day
SEMI JOIN staged_line_corrected AS c ON c.line_batch = e.line_batch AND c.line_row = e.line_row
INNER JOIN line_standing($upto) AS o ON o.line_batch = e.line_batch AND o.line_row = e.line_row
WHERE e.batch = e.line_batch AND e.row = e.line_row
ORDER BY e.batch, e.row
