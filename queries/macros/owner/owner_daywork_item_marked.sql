-- owner_daywork_item_marked: daywork items that daywork sheets cover.
CREATE MACRO owner_daywork_item_marked(upto) AS TABLE
SELECT
    job, change, daywork_sheet, agreed_on, mark, first_batch, first_row, number, cost_kind,
    quantity_marked, quantity_now, unit_cost_marked, unit_cost_now, agreed_quantity
FROM marked_daywork_item(upto)
