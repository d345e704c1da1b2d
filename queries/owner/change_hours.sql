-- change_hours: the hours that each approved change added less what it took out.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: change VARCHAR; ms DECIMAL(38,0), milliseconds
SELECT change, sum(ms)::DECIMAL(38,0) AS ms
FROM owner_change_hours($upto)
WHERE job = $job AND counts_from <= $status_date
GROUP BY change
ORDER BY change
