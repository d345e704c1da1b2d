-- owner_worked_hours: hours worked on change requests, without who worked them.
CREATE MACRO owner_worked_hours(upto) AS TABLE
SELECT job, booked_to AS change, day, ms
FROM known_posting(upto)
WHERE (job, booked_to) IN (SELECT (job, change) FROM current_change(upto))
