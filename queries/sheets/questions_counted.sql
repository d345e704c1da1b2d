-- questions_counted: how many lines of the file judged last are held for which question.
-- In:  none
-- Out: reason VARCHAR; lines BIGINT
SELECT reason, count(*) AS lines
FROM staged_judged
WHERE outcome = 'held' AND reason IN ('job_differs', 'times_differ', 'same_as_sheet')
GROUP BY reason
ORDER BY reason
