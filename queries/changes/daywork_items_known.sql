-- daywork_items_known: the daywork items of a job, each with its id.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: id VARCHAR; change VARCHAR; number BIGINT; day DATE; cost_kind VARCHAR; description VARCHAR; quantity DECIMAL(38,6); unit VARCHAR; unit_cost DECIMAL(38,4); reference VARCHAR
SELECT
    'daywork_item:' || batch || '.' || row AS id,
    change,
    number,
    day,
    cost_kind,
    description,
    quantity,
    unit,
    unit_cost,
    reference
FROM current_daywork_item($upto)
WHERE job = $job
ORDER BY change, number
