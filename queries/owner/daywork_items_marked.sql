-- daywork_items_marked: what each daywork sheet of a job covers of its items, in the order the sheets were recorded.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: change VARCHAR; daywork_sheet VARCHAR; mark VARCHAR; number BIGINT; cost_kind VARCHAR; quantity_marked DECIMAL(38,6), known when it was marked; quantity_now DECIMAL(38,6); unit_cost_marked DECIMAL(38,4); unit_cost_now DECIMAL(38,4); agreed_quantity DECIMAL(38,6), null where all is agreed
SELECT
    change,
    daywork_sheet,
    mark,
    number,
    cost_kind,
    quantity_marked,
    quantity_now,
    unit_cost_marked,
    unit_cost_now,
    agreed_quantity
FROM owner_daywork_item_marked($upto)
WHERE job = $job AND agreed_on <= $status_date
ORDER BY first_batch, first_row, change, daywork_sheet, number
