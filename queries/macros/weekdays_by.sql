-- weekdays_by: Mondays to Fridays before a day, counted from a Monday; the difference of two counts is those between.
CREATE MACRO weekdays_by(day) AS
(day - DATE '0001-01-01') // 7 * 5 + least((day - DATE '0001-01-01') % 7, 5)
