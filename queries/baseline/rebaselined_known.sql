-- rebaselined_known: where a named baseline change stands in the recorded order.
-- In:  $job VARCHAR; $name VARCHAR, of the baseline change; $upto BIGINT, the last batch that counts
-- Out: place BIGINT, the batch
SELECT place
FROM rebaselined($upto)
WHERE job = $job AND name = $name
ORDER BY place
