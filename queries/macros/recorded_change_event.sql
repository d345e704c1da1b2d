-- recorded_change_event: the events of changes; one whose particulars were corrected keeps the place of its first recording.
CREATE MACRO recorded_change_event(upto) AS TABLE
WITH fact AS (FROM standing_change_event(upto))
SELECT f.*, s.first_batch, s.first_row
FROM fact AS f
INNER JOIN (
    SELECT
        job,
        change,
        event,
        day,
        revision,
        min(place_batch) AS first_batch,
        arg_min(place_row, (place_batch, place_row)) AS first_row,
        max((place_batch, place_row, batch, row)) AS newest
    FROM fact
    GROUP BY job, change, event, day, revision
) AS s
    ON s.job IS NOT DISTINCT FROM f.job
    AND s.change IS NOT DISTINCT FROM f.change
    AND s.event IS NOT DISTINCT FROM f.event
    AND s.day IS NOT DISTINCT FROM f.day
    AND s.revision IS NOT DISTINCT FROM f.revision
    AND s.newest = (f.place_batch, f.place_row, f.batch, f.row)
