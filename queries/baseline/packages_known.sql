-- packages_known: the packages of a job's newest estimate by trade.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: work_package VARCHAR; trade VARCHAR; title VARCHAR; control_account VARCHAR; technique VARCHAR; quantity DECIMAL(38,6); start_share DECIMAL(18,9); base_package VARCHAR; package_kind VARCHAR; planned_start DATE; planned_finish DATE; budget_ms BIGINT, milliseconds
SELECT
    work_package,
    trade,
    title,
    control_account,
    technique,
    quantity,
    start_share,
    base_package,
    package_kind,
    planned_start,
    planned_finish,
    budget_ms
FROM current_work_package($upto)
WHERE job = $job
ORDER BY work_package, trade
