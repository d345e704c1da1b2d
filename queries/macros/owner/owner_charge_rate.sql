-- owner_charge_rate: what an hour is charged at.
CREATE MACRO owner_charge_rate(upto) AS TABLE
SELECT
    place_batch AS batch, place_row AS row, job, trade, grade, effective_from, charge_per_hour
FROM standing_charge_rate(upto)
