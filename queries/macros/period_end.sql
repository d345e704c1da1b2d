-- period_end: the last day of the week or month that a day lies in, at most the one on which counting ends; of every day the day itself. Weeks begin on the weekday, 0 of Monday.
CREATE MACRO period_end(day, every, weekday, counted_to) AS
CASE every
    WHEN 'week' THEN
        CASE WHEN day <= counted_to THEN least(week_begun(day, weekday) + 6, counted_to)
            ELSE week_begun(day, weekday) + 6 END
    WHEN 'month' THEN
        CASE WHEN day <= counted_to THEN least(last_day(day), counted_to) ELSE last_day(day) END
    ELSE day
END
