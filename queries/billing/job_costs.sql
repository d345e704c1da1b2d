-- job_costs: what a job cost beside its hours by a day, in the order of the days.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: cost_kind VARCHAR; day DATE; amount DECIMAL(38,4), spent that day; forecast_remaining DECIMAL(38,4), to come;
--      uninstalled DECIMAL(38,4), bought and not built in
SELECT cost_kind, day, amount, forecast_remaining, uninstalled
FROM current_job_cost($upto)
WHERE job = $job AND day <= $status_date
ORDER BY day, cost_kind
