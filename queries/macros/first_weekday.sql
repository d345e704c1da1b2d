-- first_weekday: the weekday on which the yard's weeks begin, 0 of Monday.
CREATE MACRO first_weekday(upto) AS TABLE
SELECT coalesce(max(list_position(
    ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'], left(lower(value), 3)
)), 1) - 1 AS first
FROM current_setting(upto)
WHERE name = 'yard.week_start'
