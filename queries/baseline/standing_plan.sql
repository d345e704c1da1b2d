-- standing_plan: the plan of one package's trade by day, all that counts.
-- In:  $job VARCHAR; $part VARCHAR; $trade VARCHAR; $upto BIGINT, the last batch that counts
-- Out: day DATE; ms DECIMAL(38,0), milliseconds
SELECT day, sum(ms)::DECIMAL(38,0) AS ms
FROM known_plan_posting($upto)
WHERE job = $job AND part = $part AND trade IS NOT DISTINCT FROM $trade
GROUP BY day
ORDER BY day
