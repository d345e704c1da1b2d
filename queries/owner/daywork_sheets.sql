-- daywork_sheets: the daywork sheets of a job that were marked by a day, in the order they were recorded.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: change VARCHAR; daywork_sheet VARCHAR; day_from DATE; day_to DATE; agreed_on DATE; mark VARCHAR
SELECT change, daywork_sheet, day_from, day_to, agreed_on, mark
FROM owner_daywork_sheet($upto)
WHERE job = $job AND agreed_on <= $status_date
ORDER BY first_batch, first_row, change, daywork_sheet
