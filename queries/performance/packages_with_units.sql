-- packages_with_units: packages of all jobs whose work is of a kind and counted in units, by trade.
-- In:  $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; work_package VARCHAR; trade VARCHAR; work_kind VARCHAR; unit VARCHAR; quantity DECIMAL(38,6)
SELECT job, work_package, trade, work_kind, unit, quantity
FROM current_work_package($upto)
WHERE work_kind IS NOT NULL AND unit IS NOT NULL AND quantity > 0
ORDER BY job, work_package, trade
