-- calendar_changes: the recorded baseline changes that change the calendar of a job, in the order of their days.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: name VARCHAR, of the baseline change; day DATE; place BIGINT, the batch in the recorded order; working_week VARCHAR; days_off VARCHAR; days_on VARCHAR; holidays VARCHAR
SELECT
    r.name,
    b.day,
    greatest(b.place, r.place_batch) AS place,
    r.working_week,
    r.days_off,
    r.days_on,
    r.holidays
FROM current_replanned_calendar($upto) AS r
INNER JOIN rebaselined($upto) AS b ON b.job = r.job AND b.name = r.name
WHERE r.job = $job
ORDER BY b.day, place
