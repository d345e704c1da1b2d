-- owner_daywork_sheet: daywork sheets that were marked, each with its days.
CREATE MACRO owner_daywork_sheet(upto) AS TABLE
SELECT DISTINCT
    job, change, daywork_sheet, day_from, day_to, agreed_on, mark, first_batch, first_row
FROM recorded_daywork_sheet(upto)
