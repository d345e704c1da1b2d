-- placed_time: time booked by job, place and day alone: lines are summed by what they share before anything is looked up.
CREATE MACRO placed_time(upto) AS TABLE
SELECT w.job, w.booked_to, l.day, l.ms
FROM (
    SELECT what, day, sum(ms) AS ms
    FROM line
    WHERE batch <= upto
    GROUP BY what, day
) AS l
INNER JOIN what AS w ON w.number = l.what
WHERE w.booked_to IS NOT NULL
UNION ALL
SELECT job, booked_to, day, ms
FROM posting
WHERE batch <= upto
