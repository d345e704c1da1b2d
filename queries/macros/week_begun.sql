-- week_begun: the first day of the week of a day; weeks begin on the weekday, 0 of Monday.
CREATE MACRO week_begun(day, weekday) AS
day - ((isodow(day) + 6 - weekday) % 7)::INTEGER
