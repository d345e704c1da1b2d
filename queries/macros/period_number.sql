-- period_number: the number of the week or month that a day lies in, the next one has the next number. Weeks begin on the weekday, 0 of Monday.
CREATE MACRO period_number(day, every, weekday) AS
CASE every
    WHEN 'month' THEN year(day) * 12 + month(day)
    ELSE (day - DATE '0001-01-01' + 7 - weekday) // 7
END
