-- final_accounts: the day on which the final account of a job was agreed, if it was by a day.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: day DATE
SELECT day
FROM owner_final_account($upto)
WHERE job = $job AND day <= $status_date
ORDER BY day
