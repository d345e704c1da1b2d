-- change_wordings: every wording of a job's changes that was recorded, the newest last.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: change VARCHAR; batch BIGINT, in the recorded order; recorded_at TIMESTAMP, UTC; title VARCHAR; description VARCHAR
SELECT change, batch, recorded_at, title, description
FROM owner_change_wording($upto)
WHERE job = $job
ORDER BY change, batch, row
