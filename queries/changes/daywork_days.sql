-- daywork_days: the days on which daywork of a job was agreed, and its items used.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: day DATE
SELECT agreed_on AS day FROM current_daywork_sheet($upto) WHERE job = $job
UNION
SELECT day FROM current_daywork_item($upto) WHERE job = $job
ORDER BY day
