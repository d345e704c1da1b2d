-- recorded_change_event: the events of changes; one whose particulars were corrected keeps the place of its first recording.
CREATE MACRO recorded_change_event(upto) AS TABLE
SELECT
    *,
    min(place_batch) OVER same AS first_batch,
    first_value(place_row) OVER (same ORDER BY place_batch, place_row) AS first_row
FROM standing_change_event(upto)
WINDOW same AS (PARTITION BY job, change, event, day, revision)
QUALIFY row_number() OVER
    (same ORDER BY place_batch DESC, place_row DESC, batch DESC, row DESC) = 1
