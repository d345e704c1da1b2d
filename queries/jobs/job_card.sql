-- job_card: what a job is, as known.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; title VARCHAR; owner VARCHAR; contract_sum DECIMAL(38,4); contract_date DATE; planned_start DATE; planned_finish DATE; contract_basis VARCHAR; working_week VARCHAR, JSON; management_reserve_ms BIGINT; owner_sees_overrun BOOLEAN; key_dates VARCHAR; completion_date DATE; days VARCHAR; silence_confirms_days BIGINT; authority VARCHAR, JSON; provisional_sums VARCHAR, JSON; notice_limits VARCHAR, JSON
SELECT
    job,
    title,
    owner,
    contract_sum,
    contract_date,
    planned_start,
    planned_finish,
    contract_basis,
    working_week,
    management_reserve_ms,
    owner_sees_overrun,
    key_dates,
    completion_date,
    days,
    silence_confirms_days,
    authority,
    provisional_sums,
    notice_limits
FROM current_job($upto)
WHERE job = $job
ORDER BY job
