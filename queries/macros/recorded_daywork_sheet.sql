-- recorded_daywork_sheet: daywork sheets as they count; one that was corrected keeps the place where it was first marked. One that names the document it was signed on covers what was known when that was made, any other what was known when it was marked.
CREATE MACRO recorded_daywork_sheet(upto) AS TABLE
WITH fact AS (FROM standing_daywork_sheet(upto))
SELECT f.*, s.first_batch, s.first_row, coalesce(d.known_at, s.first_batch) AS covers_to
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
LEFT JOIN known_document(upto) AS d
    ON d.document = f.document AND d.job = f.job AND d.change = f.change
