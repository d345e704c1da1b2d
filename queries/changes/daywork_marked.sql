-- daywork_marked: hours that each daywork sheet of a job covers of each worker's day, in the order the sheets were recorded.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: change VARCHAR; daywork_sheet VARCHAR; mark VARCHAR; worker_id VARCHAR; day DATE; trade VARCHAR; grade VARCHAR; ms_marked DECIMAL(38,0), milliseconds booked when it was marked; ms_now DECIMAL(38,0), milliseconds; agreed_ms BIGINT, milliseconds agreed of the worker's day, null where all are
SELECT
    change,
    daywork_sheet,
    mark,
    worker_id,
    day,
    trade,
    grade,
    ms_marked::DECIMAL(38,0) AS ms_marked,
    ms_now::DECIMAL(38,0) AS ms_now,
    agreed_ms
FROM marked_daywork($upto)
WHERE job = $job
ORDER BY first_batch, first_row, change, daywork_sheet, day, worker_id, trade, grade
