-- no_sheet_days: no worker-days, for a file that was loaded before.
-- In:  none
-- Out: job_given VARCHAR; sheet VARCHAR; worker_id VARCHAR; day DATE; is_mended BOOLEAN
SELECT
    NULL::VARCHAR AS job_given,
    NULL::VARCHAR AS sheet,
    NULL::VARCHAR AS worker_id,
    NULL::DATE AS day,
    NULL::BOOLEAN AS is_mended
WHERE false
ORDER BY day
