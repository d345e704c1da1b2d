-- leave_day: the days on which a worker is on leave known ahead, by the rows that count.
CREATE MACRO leave_day(upto) AS TABLE
SELECT DISTINCT
    worker_id,
    unnest(generate_series(day_from, day_to, INTERVAL 1 DAY))::DATE AS day
FROM current_leave(upto)
