-- owner_change_line: the lines of change requests: hours, quantities and unit prices.
CREATE MACRO owner_change_line(upto) AS TABLE
SELECT
    job, change, revision, position, price_kind, description, trade, grade, ms, quantity, unit,
    unit_price, work_package, planned_start, planned_finish, technique, addition_percent, addition_on,
    addition_of, addition_method, provisional_sum, owner_text
FROM current_change_line(upto)
