-- changes_known: the requests of a job as they count.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: change VARCHAR; title VARCHAR; requested_by VARCHAR; requested_on DATE; change_basis VARCHAR; origin VARCHAR; description VARCHAR; decision_needed_by DATE; days_requested BIGINT
SELECT
    change,
    title,
    requested_by,
    requested_on,
    change_basis,
    coalesce(origin, 'owner') AS origin,
    description,
    decision_needed_by,
    days_requested
FROM current_change($upto)
WHERE job = $job
ORDER BY requested_on, change
