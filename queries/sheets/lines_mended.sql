-- lines_mended: held lines that a file gives again with their fault put right, one by one.
-- In:  $file VARCHAR
-- Out: line_batch BIGINT; line_row BIGINT; outcome VARCHAR; reason VARCHAR; message VARCHAR
SELECT
    h.line_batch,
    h.line_row,
    'matched' AS outcome,
    'matched' AS reason,
    'corrected in ' || $file::VARCHAR || ', which is booked' AS message
FROM staged_sheet_had AS h
INNER JOIN staged_sheet_differing AS d ON d.sheet = h.sheet AND d.worker_id = h.worker_id AND d.day = h.day
ANTI JOIN staged_sheet_of_file AS g ON g.line_batch = h.line_batch AND g.line_row = h.line_row
WHERE d.is_mended AND NOT h.is_question
ORDER BY h.line_batch, h.line_row
