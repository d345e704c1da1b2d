-- packages_known: the packages of a job by trade, as estimated and then as each baseline change replans them.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: work_package VARCHAR; trade VARCHAR; title VARCHAR; control_account VARCHAR; technique VARCHAR; spread VARCHAR; quantity DECIMAL(38,6); start_share DECIMAL(18,9); base_package VARCHAR; cost_rate BIGINT, 1/10000; package_kind VARCHAR; planned_start DATE; planned_finish DATE; budget_ms BIGINT, milliseconds; name VARCHAR, of the baseline change, null of the estimate; counts_from DATE, null of the estimate; place BIGINT, the batch in the recorded order, null of the estimate
SELECT
    work_package,
    trade,
    title,
    control_account,
    technique,
    spread,
    quantity,
    start_share,
    base_package,
    cost_rate,
    package_kind,
    planned_start,
    planned_finish,
    budget_ms,
    name,
    counts_from,
    place
FROM package_version($upto)
WHERE job = $job
ORDER BY work_package, counts_from NULLS FIRST, place NULLS FIRST, trade
