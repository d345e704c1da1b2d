-- owner_pricing_terms: what jobs agree for daywork, provisional sums and omissions, as recorded when.
CREATE MACRO owner_pricing_terms(upto) AS TABLE
SELECT
    place_batch AS batch, place_row AS row, job, daywork, provisional_sums,
    omissions_carry_additions
FROM standing_job(upto)
