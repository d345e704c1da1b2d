-- lines_named: sheet lines as they are understood, those without a worker_id with the worker that their name leads to.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; place BIGINT, in the file; line BIGINT; is_total BOOLEAN; sum_key VARCHAR, what a total is of; sheet VARCHAR; worker_id VARCHAR; worker_known BOOLEAN; date_text VARCHAR; day_written DATE; hours VARCHAR; hours_ms BIGINT, milliseconds; start VARCHAR; start_min BIGINT; finish VARCHAR; finish_min BIGINT; break_written VARCHAR; break_min BIGINT; booking_code VARCHAR; job_given VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR; date_wrong VARCHAR; hours_wrong VARCHAR
SELECT
    u.* REPLACE (
        coalesce(u.worker_id, n.worker_id) AS worker_id,
        u.worker_known OR (u.worker_id IS NULL AND n.text IS NOT NULL AND n.message IS NULL) AS worker_known
    )
FROM staged_understood_by_id AS u
INNER JOIN staged_raw AS r ON r.place = u.place
LEFT JOIN staged_name_read AS n ON n.text = r.worker_name
ORDER BY u.place
