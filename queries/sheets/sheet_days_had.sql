-- sheet_days_had: the lines that the sheets and worker-days of a file have in the book: entries that stand, and held lines.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; held_for VARCHAR, null of an entry; is_question BOOLEAN, held for a question; sheet VARCHAR, folded; worker_id VARCHAR; day DATE; booking_code VARCHAR
WITH given AS (
    SELECT DISTINCT sheet, worker_id, date_text
    FROM staged_alike
    WHERE sheet IS NOT NULL
)

SELECT
    h.line_batch,
    h.line_row,
    h.held_for,
    coalesce(h.held_for IN ('job_differs', 'times_differ', 'same_as_sheet'), false) AS is_question,
    h.sheet,
    h.worker_id,
    TRY_CAST(h.date_text AS DATE) AS day,
    h.booking_code
FROM staged_had AS h
SEMI JOIN given AS g ON g.sheet = h.sheet AND g.worker_id = h.worker_id AND g.date_text = h.date_text
ANTI JOIN waiting_reissued_line($upto) AS o ON o.line_batch = h.line_batch AND o.line_row = h.line_row
WHERE h.is_now AND h.standing IN ('stands', 'held') AND TRY_CAST(h.date_text AS DATE) IS NOT NULL
ORDER BY h.line_batch, h.line_row
