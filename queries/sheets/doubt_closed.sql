-- doubt_closed: the changes that were ever closed, and since when.
-- In:  $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; change VARCHAR; closed_on DATE
SELECT v.job, v.change, min(v.day) AS closed_on
FROM recorded_change_event($upto) AS v
SEMI JOIN current_change($upto) AS c ON c.job = v.job AND c.change = v.change
WHERE v.event IN ('declined', 'withdrawn', 'stopped', 'complete')
GROUP BY v.job, v.change
ORDER BY v.job, v.change
