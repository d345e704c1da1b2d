-- corrections_made: what is corrected in lines, from what they read so far to what it is now.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; field VARCHAR; was VARCHAR; now VARCHAR
WITH made AS (
    SELECT
        w.line_batch,
        w.line_row,
        g.field,
        CASE g.field
            WHEN 'sheet' THEN w.sheet
            WHEN 'worker_id' THEN w.worker_id
            WHEN 'date' THEN w.date
            WHEN 'hours' THEN w.hours
            WHEN 'start' THEN w.start
            WHEN 'finish' THEN w.finish
            WHEN 'break_minutes' THEN w.break_minutes
            WHEN 'booking_code' THEN w.booking_code
            WHEN 'job' THEN w.job
            WHEN 'note' THEN w.note
            WHEN 'pay_class' THEN w.pay_class
            WHEN 'trade' THEN w.trade
            WHEN 'rework' THEN w.rework
            WHEN 'approved_by' THEN w.approved_by
        END AS was,
        g.now
    FROM staged_correction_typed AS g
    INNER JOIN staged_so_far AS w ON w.line_batch = g.line_batch AND w.line_row = g.line_row
)

SELECT line_batch, line_row, field, was, now
FROM made
WHERE was IS DISTINCT FROM now
ORDER BY line_batch, line_row, field
