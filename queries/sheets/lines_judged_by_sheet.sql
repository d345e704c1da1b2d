-- lines_judged_by_sheet: the judged lines of a file, those held that a re-issue brings anew.
-- In:  none
-- Out: place BIGINT, in the file; line BIGINT; is_readable BOOLEAN; of_batch BIGINT, of the line of the book that it is; of_row BIGINT; line_batch BIGINT; line_row BIGINT; outcome VARCHAR, booked, held, already_booked or already_held; reason VARCHAR; message VARCHAR; sheet VARCHAR; worker_id VARCHAR; day DATE; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR
WITH judged AS (
    SELECT
        l.*,
        d.sheet IS NOT NULL AND l.is_readable
            AND (l.outcome = 'booked' OR (l.outcome = 'held' AND l.reason <> 'same_as_sheet')) AS is_reissued
    FROM staged_first AS l
    LEFT JOIN (SELECT * FROM staged_sheet_differing WHERE NOT is_mended) AS d
        ON d.sheet = sheet_alike(l.sheet)
        AND d.worker_id = l.worker_id
        AND d.day = l.day
)

SELECT
    l.place,
    l.line,
    l.is_readable,
    l.of_batch,
    l.of_row,
    l.line_batch,
    l.line_row,
    CASE WHEN l.is_reissued THEN 'held' ELSE l.outcome END AS outcome,
    CASE WHEN l.is_reissued THEN 're_issue' ELSE l.reason END AS reason,
    CASE WHEN l.is_reissued THEN reissue_text(l.sheet, l.worker_id, l.day) ELSE l.message END AS message,
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
FROM judged AS l
ORDER BY l.place
