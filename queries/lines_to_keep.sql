-- lines_to_keep: the judged lines that are new to the book.
-- In:  $file_row BIGINT
-- Out: row BIGINT; file_batch BIGINT; file_row BIGINT; line BIGINT; line_key BLOB; raw VARCHAR
SELECT line_row AS row, line_batch AS file_batch, $file_row::BIGINT AS file_row, line, line_key, raw
FROM staged_judged
WHERE outcome IN ('booked', 'held')
ORDER BY line_row
