-- recorded_daywork_sheet: daywork sheets as they count; one that was corrected keeps the place where it was first marked.
CREATE MACRO recorded_daywork_sheet(upto) AS TABLE
WITH fact AS (FROM standing_daywork_sheet(upto))
SELECT f.*, s.first_batch, s.first_row
FROM fact AS f
INNER JOIN (
    SELECT
        job,
        change,
        daywork_sheet,
        min(place_batch) AS first_batch,
        arg_min(place_row, (place_batch, place_row)) AS first_row,
        max(place_batch) AS newest
    FROM fact
    GROUP BY job, change, daywork_sheet
) AS s
    ON s.job = f.job
    AND s.change = f.change
    AND s.daywork_sheet = f.daywork_sheet
    AND s.newest = f.place_batch
