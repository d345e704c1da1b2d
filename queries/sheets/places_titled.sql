-- places_titled: the packages and changes of all jobs with their titles, trades and dates.
-- In:  $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; booked_to VARCHAR; title VARCHAR; trades VARCHAR[], null of a change; first_day DATE; last_day DATE, null of a change
SELECT
    job,
    work_package AS booked_to,
    any_value(title) AS title,
    list(DISTINCT trade ORDER BY trade) AS trades,
    min(planned_start) AS first_day,
    max(planned_finish) AS last_day
FROM planned_package($upto)
GROUP BY job, work_package
UNION ALL
SELECT job, change AS booked_to, title, NULL AS trades, requested_on AS first_day, NULL AS last_day
FROM current_change($upto)
ORDER BY job, booked_to
