-- daywork_cells: hours that each daywork sheet of a job covers, by day, trade and grade, in the order the sheets were recorded.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: change VARCHAR; daywork_sheet VARCHAR; mark VARCHAR; first_batch BIGINT, the batch that marked the sheet; worker_day BIGINT, one number a worker's day; cell BIGINT, one number a trade of it; day DATE; trade VARCHAR, null of a worker who is not in the crew; grade VARCHAR; ms_marked DECIMAL(38,0), milliseconds booked when it was marked; ms_now DECIMAL(38,0), milliseconds; agreed_ms BIGINT, milliseconds agreed of the worker's day, null where all are
SELECT
    change,
    daywork_sheet,
    mark,
    first_batch,
    worker_day,
    cell,
    day,
    trade,
    grade,
    ms_marked::DECIMAL(38,0) AS ms_marked,
    ms_now::DECIMAL(38,0) AS ms_now,
    agreed_ms
FROM owner_daywork_cell($upto)
WHERE job = $job AND agreed_on <= $status_date
ORDER BY first_batch, first_row, change, daywork_sheet, worker_day, cell
