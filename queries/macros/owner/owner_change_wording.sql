-- owner_change_wording: every wording that a change request has had, and when it was recorded.
CREATE MACRO owner_change_wording(upto) AS TABLE
SELECT
    f.job, f.change, f.title, f.description,
    f.place_batch AS batch, f.place_row AS row, b.recorded_at
FROM standing_change(upto) AS f
INNER JOIN known_batch(upto) AS b ON b.sequence = f.place_batch
