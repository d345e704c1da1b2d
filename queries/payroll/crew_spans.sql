-- crew_spans: from which day to which each row of the crew is the one in force, and how its worker is paid.
-- In:  $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; day_from DATE; day_before DATE, from which the next row is in force; active_to DATE; trade VARCHAR; employment VARCHAR; supplier VARCHAR; firm VARCHAR, its name as compared; contract_ms BIGINT, milliseconds a week of whom is paid by contract
SELECT
    worker_id,
    active_from AS day_from,
    coalesce(lead(active_from) OVER (PARTITION BY worker_id ORDER BY active_from), DATE '9999-12-31') AS day_before,
    active_to,
    trade,
    employment,
    supplier,
    CASE WHEN employment IN ('agency', 'subcontract') THEN word_of(trim(supplier)) END AS firm,
    CASE WHEN employment = 'salaried' THEN contract_ms END AS contract_ms
FROM current_crew($upto)
ORDER BY worker_id, day_from
