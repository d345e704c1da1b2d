-- sheet_days_counted: how many lines the book has of the sheets and worker-days of a file.
-- In:  none
-- Out: lines BIGINT
SELECT count(*) AS lines
FROM staged_sheet_had
ORDER BY lines
