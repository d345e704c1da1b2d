-- contract_sums: contract sums set by baseline changes by a day, the newest last.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: day DATE; contract_sum DECIMAL(38,4)
SELECT day, contract_sum
FROM owner_contract_sum($upto)
WHERE job = $job AND day <= $status_date
ORDER BY day, batch, row
