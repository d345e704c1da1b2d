-- no_sheet_days: no worker-days, for a file that says nothing else than the book.
-- In:  none
-- Out: sheet VARCHAR; worker_id VARCHAR; day DATE; is_mended BOOLEAN
SELECT
    NULL::VARCHAR AS sheet,
    NULL::VARCHAR AS worker_id,
    NULL::DATE AS day,
    NULL::BOOLEAN AS is_mended
WHERE false
ORDER BY day
