-- owner_daywork_cell: hours that daywork sheets cover by trade and grade, each worker's day by a number, without who worked them.
CREATE MACRO owner_daywork_cell(upto) AS TABLE
SELECT
    job, change, daywork_sheet, agreed_on, mark, first_batch, first_row, day, trade, grade,
    dense_rank() OVER (PARTITION BY job ORDER BY change, day, worker_id) AS worker_day,
    dense_rank() OVER (PARTITION BY job ORDER BY change, day, worker_id, trade, grade) AS cell,
    ms_marked, ms_now, agreed_ms
FROM marked_daywork(upto)
