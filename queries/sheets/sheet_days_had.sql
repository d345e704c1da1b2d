-- sheet_days_had: the lines that sheets have in the book on the worker-days of which a file may say otherwise: entries that stand, and held lines.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; held_for VARCHAR, null of an entry; is_question BOOLEAN, held for a question; sheet VARCHAR, folded; worker_id VARCHAR; day DATE; booking_code VARCHAR
WITH missing AS (
    SELECT h.sheet, h.worker_id, h.date_text
    FROM staged_had AS h
    ANTI JOIN staged_same AS s ON s.line_batch = h.line_batch AND s.line_row = h.line_row
    WHERE h.is_now AND h.standing IN ('stands', 'held')
),

-- Only where the file has a line that the book has not, or the book one that the file has not, can they differ.
differing AS (
    SELECT a.sheet, a.worker_id, a.date_text
    FROM staged_alike AS a
    ANTI JOIN staged_same AS s ON s.place = a.place
    WHERE a.sheet IS NOT NULL
    UNION
    SELECT a.sheet, a.worker_id, a.date_text
    FROM staged_alike AS a
    SEMI JOIN missing AS m ON m.sheet = a.sheet AND m.worker_id = a.worker_id AND m.date_text = a.date_text
),

-- A line that was corrected is found in the file on the day that it was written for.
written_for_day AS (
    SELECT s.line_batch, s.line_row
    FROM staged_alike AS a
    SEMI JOIN differing AS d ON d.sheet = a.sheet AND d.worker_id = a.worker_id AND d.date_text = a.date_text
    INNER JOIN staged_same AS s ON s.place = a.place
),

corrected AS (
    SELECT h.line_batch, h.line_row, h.sheet, h.worker_id, h.date_text
    FROM staged_had AS h
    SEMI JOIN written_for_day AS f ON f.line_batch = h.line_batch AND f.line_row = h.line_row
    ANTI JOIN differing AS d ON d.sheet = h.sheet AND d.worker_id = h.worker_id AND d.date_text = h.date_text
),

of_sheets AS (
    SELECT h.*
    FROM staged_had AS h
    SEMI JOIN differing AS d ON d.sheet = h.sheet AND d.worker_id = h.worker_id AND d.date_text = h.date_text
    UNION ALL
    SELECT h.*
    FROM staged_had AS h
    SEMI JOIN (
        SELECT c.line_batch, c.line_row
        FROM staged_alike AS a
        INNER JOIN corrected AS c ON c.sheet = a.sheet AND c.worker_id = a.worker_id AND c.date_text = a.date_text
    ) AS c ON c.line_batch = h.line_batch AND c.line_row = h.line_row
    ANTI JOIN differing AS d ON d.sheet = h.sheet AND d.worker_id = h.worker_id AND d.date_text = h.date_text
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
FROM of_sheets AS h
ANTI JOIN waiting_reissued_line($upto) AS o ON o.line_batch = h.line_batch AND o.line_row = h.line_row
WHERE h.is_now AND h.standing IN ('stands', 'held') AND TRY_CAST(h.date_text AS DATE) IS NOT NULL
ORDER BY h.line_batch, h.line_row
