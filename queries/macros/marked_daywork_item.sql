-- marked_daywork_item: what each daywork sheet covers of each daywork item of its change: quantity and cost when it was marked, or its document made, and now, and what was agreed instead of all.
CREATE MACRO marked_daywork_item(upto) AS TABLE
WITH row_of_sheet AS (FROM recorded_daywork_sheet(upto)),
sheet AS (
    SELECT DISTINCT
        job, change, daywork_sheet, day_from, day_to, agreed_on, mark, first_batch, first_row,
        covers_to
    FROM row_of_sheet
),
version AS (FROM standing_daywork_item(upto)),
item AS (FROM current_daywork_item(upto)),
covered AS (
    SELECT
        s.job, s.change, s.daywork_sheet, s.agreed_on, s.mark, s.first_batch, s.first_row,
        i.number, i.cost_kind, i.quantity AS quantity_now, i.unit_cost AS unit_cost_now,
        v.quantity AS quantity_marked, v.unit_cost AS unit_cost_marked
    FROM sheet AS s
    INNER JOIN item AS i
        ON i.job = s.job AND i.change = s.change AND i.day BETWEEN s.day_from AND s.day_to
    INNER JOIN version AS v
        ON v.job = i.job
        AND v.change = i.change
        AND v.number = i.number
        AND v.place_batch <= s.covers_to
    QUALIFY row_number() OVER (
        PARTITION BY s.job, s.change, s.daywork_sheet, i.number
        ORDER BY v.place_batch DESC, v.place_row DESC, v.batch DESC, v.row DESC
    ) = 1
)
SELECT c.*, r.agreed_quantity
FROM covered AS c
LEFT JOIN row_of_sheet AS r
    ON r.job = c.job
    AND r.change = c.change
    AND r.daywork_sheet = c.daywork_sheet
    AND r.item = c.number
