-- daywork_items: materials, plant and subcontract used on the daywork of a job by a day.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: change VARCHAR; number BIGINT; day DATE; cost_kind VARCHAR; description VARCHAR; quantity DECIMAL(38,6); unit VARCHAR; unit_cost DECIMAL(38,4); reference VARCHAR
SELECT change, number, day, cost_kind, description, quantity, unit, unit_cost, reference
FROM owner_daywork_item($upto)
WHERE job = $job AND day <= $status_date
ORDER BY change, day, number
