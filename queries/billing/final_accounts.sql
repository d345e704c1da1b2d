-- final_accounts: the final accounts that are agreed, of one job or of all, each with the batch that recorded it.
-- In:  $job VARCHAR, null of all; $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; day DATE; amount DECIMAL(38,4), without tax; person VARCHAR; reference VARCHAR; reserved VARCHAR, JSON; batch BIGINT
SELECT job, day, amount, person, reference, reserved, batch
FROM current_final_account($upto)
WHERE $job IS NULL OR job = $job
ORDER BY job
