-- lines_of_known_job: lines held for their job that are booked lines, now that the job is known.
-- In:  $upto BIGINT, the last batch that counts
-- Out: line_batch BIGINT; line_row BIGINT; outcome VARCHAR; reason VARCHAR; message VARCHAR
SELECT
    c.line_batch,
    c.line_row,
    'matched' AS outcome,
    'matched' AS reason,
    'its job is now known; it is the same as ' || c.matched_line || ', which is booked' AS message
FROM staged_compared AS c
INNER JOIN line_questioned($upto) AS q ON q.line_batch = c.line_batch AND q.line_row = c.line_row
WHERE q.reason = 'job_differs' AND c.matched_line IS NOT NULL
ORDER BY c.line_batch, c.line_row
