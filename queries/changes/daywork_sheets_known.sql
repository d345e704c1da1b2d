-- daywork_sheets_known: the rows of the daywork sheets of a job, in the order the sheets were recorded.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: id VARCHAR; batch BIGINT, of the newest version; first_batch BIGINT, in which it was first marked; change VARCHAR; daywork_sheet VARCHAR; day_from DATE; day_to DATE; agreed_on DATE; mark VARCHAR; person VARCHAR; worker_id VARCHAR; day DATE; agreed_ms BIGINT, milliseconds; item BIGINT; agreed_quantity DECIMAL(38,6); reason VARCHAR; document VARCHAR, the issued sheet that was signed
SELECT
    'daywork_sheet:' || batch || '.' || row AS id,
    batch,
    first_batch,
    change,
    daywork_sheet,
    day_from,
    day_to,
    agreed_on,
    mark,
    person,
    worker_id,
    day,
    agreed_ms,
    item,
    agreed_quantity,
    reason,
    document
FROM recorded_daywork_sheet($upto)
WHERE job = $job
ORDER BY first_batch, first_row, change, daywork_sheet, batch, row
