-- jobs_in_force: the job cards that count: who may approve stands there, and is read to act on.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT
SELECT batch, row
FROM current_job($upto)
ORDER BY batch, row
