-- agreed_cells: hours that each daywork sheet of a job covers of each worker's day by trade, in the order the sheets were recorded.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: change VARCHAR; daywork_sheet VARCHAR; mark VARCHAR; first_batch BIGINT, the batch that marked the sheet; worker_id VARCHAR; day DATE; trade VARCHAR, null of a worker who is not in the crew; grade VARCHAR; ms_marked DECIMAL(38,0), milliseconds booked when it was marked; ms_now DECIMAL(38,0), milliseconds; agreed_ms BIGINT, milliseconds agreed of the worker's day, null where all are
SELECT
    change,
    daywork_sheet,
    mark,
    first_batch,
    worker_id,
    day,
    trade,
    grade,
    ms_marked::DECIMAL(38,0) AS ms_marked,
    ms_now::DECIMAL(38,0) AS ms_now,
    agreed_ms
FROM marked_daywork($upto)
WHERE job = $job AND agreed_on <= $status_date
ORDER BY first_batch, first_row, change, daywork_sheet, day, worker_id, trade, grade
