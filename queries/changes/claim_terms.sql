-- claim_terms: how a job is claimed, as known.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: contract_sum DECIMAL(38,4); contract_basis VARCHAR; provisional_sums VARCHAR, JSON; certificate VARCHAR; omissions_credited VARCHAR; delivered_on DATE; defects_end_on DATE; stage_payments VARCHAR, JSON; retention VARCHAR, JSON; advance VARCHAR, JSON; invoice VARCHAR, JSON
SELECT
    contract_sum,
    contract_basis,
    provisional_sums,
    certificate,
    omissions_credited,
    delivered_on,
    defects_end_on,
    stage_payments,
    retention,
    advance,
    invoice
FROM current_job($upto)
WHERE job = $job
ORDER BY job
