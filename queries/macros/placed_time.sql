-- placed_time: time booked by a day by job, place and number of the week or month: lines are summed by what they share before anything is looked up.
CREATE MACRO placed_time(upto, counted_to, every, weekday) AS TABLE
SELECT w.job, w.booked_to, l.period, l.ms
FROM (
    SELECT what, period_number(day, every, weekday) AS period, sum(ms) AS ms
    FROM line
    WHERE batch <= upto AND day <= counted_to
    GROUP BY what, period
) AS l
INNER JOIN what AS w ON w.number = l.what
WHERE w.booked_to IS NOT NULL
UNION ALL
SELECT job, booked_to, period_number(day, every, weekday) AS period, ms
FROM posting
WHERE batch <= upto AND day <= counted_to
