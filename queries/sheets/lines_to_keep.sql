-- lines_to_keep: the judged lines that are new to the book.
-- In:  $file_row BIGINT
-- Out: row BIGINT; file_batch BIGINT; file_row BIGINT; line BIGINT; raw VARCHAR
SELECT j.line_row AS row, j.line_batch AS file_batch, $file_row::BIGINT AS file_row, j.line, r.raw
FROM staged_judged AS j
INNER JOIN staged_raw AS r USING (place)
WHERE j.outcome IN ('booked', 'held')
ORDER BY row
