-- last_payment: the highest number that a payment of a job was ever given, withdrawn ones included; 0 without any.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: number BIGINT
SELECT coalesce(max(number), 0) AS number
FROM known_payment($upto)
WHERE job = $job
ORDER BY number
