-- package_hours: the estimate by package and trade, to price an omission that names no trade.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: work_package VARCHAR; trade VARCHAR; budget_ms BIGINT, milliseconds
SELECT work_package, trade, budget_ms
FROM owner_package($upto)
WHERE job = $job
ORDER BY work_package, trade
