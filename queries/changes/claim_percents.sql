-- claim_percents: what may be claimed to date of each item of a job, the newest by a day.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: item VARCHAR; day DATE; percent DECIMAL(38,6); amount DECIMAL(38,4); on_account BOOLEAN
SELECT item, day, percent, amount, coalesce(on_account, false) AS on_account
FROM current_claim_percent($upto)
WHERE job = $job AND day <= $status_date
QUALIFY row_number() OVER (PARTITION BY item ORDER BY day DESC) = 1
ORDER BY item
