-- doubt_change_codes: the changes of all jobs, which notes may name.
-- In:  $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; change VARCHAR
SELECT DISTINCT job, change
FROM current_change($upto)
ORDER BY job, change
