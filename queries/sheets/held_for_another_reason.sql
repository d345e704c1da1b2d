-- held_for_another_reason: held lines that are still held, for another reason than before.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; outcome VARCHAR; reason VARCHAR; message VARCHAR
WITH reissued AS (
    SELECT DISTINCT line_batch, line_row
    FROM waiting_reissued_line($upto)
),

still_held AS (
    SELECT
        r.line_batch,
        r.line_row,
        h.reason AS held_for,
        CASE WHEN r.reason IS NULL AND i.line_batch IS NOT NULL THEN 're_issue' ELSE r.reason END AS reason,
        CASE WHEN r.reason IS NULL
            THEN reissue_text(r.sheet, r.worker_id, r.day)
            ELSE r.message END AS message
    FROM staged_parsed AS r
    INNER JOIN staged_held AS h ON h.line_batch = r.line_batch AND h.line_row = r.line_row
    LEFT JOIN reissued AS i ON i.line_batch = r.line_batch AND i.line_row = r.line_row
)

SELECT line_batch, line_row, 'held' AS outcome, reason, message
FROM still_held
WHERE reason IS NOT NULL AND reason <> held_for AND held_for NOT IN ('re_issue', 'job_differs', 'times_differ', 'same_as_sheet')
ORDER BY line_batch, line_row
