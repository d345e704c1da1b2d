-- files_not_counted: files whose counts do not add up, or do not match the lines kept.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT
WITH kept AS (
    SELECT file_batch, file_row, count(*) AS kept_lines
    FROM known_sheet_line($upto)
    GROUP BY file_batch, file_row
)

SELECT f.batch, f.row
FROM known_file($upto) AS f
LEFT JOIN kept AS k ON k.file_batch = f.batch AND k.file_row = f.row
WHERE f.lines_read <> f.booked + f.held + f.already_booked + f.already_held
    OR coalesce(k.kept_lines, 0) <> f.booked + f.held
ORDER BY f.batch, f.row
