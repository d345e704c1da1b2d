-- certificates: what was certified of each item of the claims of a job, the newest of each.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: claim BIGINT, the n-th of the job; item VARCHAR; day DATE; amount DECIMAL(38,4), cumulative; reason VARCHAR
SELECT claim, item, day, amount, reason
FROM current_certified($upto)
WHERE job = $job
QUALIFY row_number() OVER (PARTITION BY claim, item ORDER BY day DESC) = 1
ORDER BY claim, item
