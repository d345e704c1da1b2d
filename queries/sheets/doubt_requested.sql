-- doubt_requested: the changes, and when each was requested.
-- In:  $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; change VARCHAR; requested_on DATE
SELECT job, change, requested_on
FROM current_change($upto)
ORDER BY job, change
