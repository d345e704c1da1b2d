-- owner_contract_sum: contract sums that were amended.
CREATE MACRO owner_contract_sum(upto) AS TABLE
SELECT place_batch AS batch, place_row AS row, job, day, contract_sum
FROM current_baseline_change(upto)
WHERE contract_sum IS NOT NULL
