-- changes: the requests of a job as they count, and who may instruct and approve them.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: change VARCHAR; title VARCHAR; requested_by VARCHAR; requested_on DATE; change_basis VARCHAR; origin VARCHAR; description VARCHAR; decision_needed_by DATE; days_requested BIGINT; authority VARCHAR, JSON; silence_confirms_days BIGINT
SELECT
    c.change,
    c.title,
    c.requested_by,
    c.requested_on,
    c.change_basis,
    c.origin,
    c.description,
    c.decision_needed_by,
    c.days_requested,
    j.authority,
    j.silence_confirms_days
FROM owner_change($upto) AS c
LEFT JOIN owner_job($upto) AS j ON j.job = c.job
WHERE c.job = $job
ORDER BY c.requested_on, c.change
