-- charge_rates: what the owner pays an hour by trade and grade, from which day, as recorded when.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: trade VARCHAR; grade VARCHAR, null of the whole trade; effective_from DATE; charge_per_hour BIGINT, 1/10000; batch BIGINT
SELECT trade, grade, effective_from, charge_per_hour, batch
FROM owner_charge_rate($upto)
WHERE job = $job
ORDER BY trade, grade, effective_from, batch, row
