-- owner_daywork_item: materials, plant and subcontract used on daywork, at prime cost as it is paid for.
CREATE MACRO owner_daywork_item(upto) AS TABLE
SELECT job, change, number, day, cost_kind, description, quantity, unit, unit_cost, reference
FROM current_daywork_item(upto)
