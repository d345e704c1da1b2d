-- held_raw: the held lines as they were written, to be read again.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; line BIGINT; raw VARCHAR; default_job VARCHAR; sheet VARCHAR; worker_id VARCHAR; date VARCHAR; hours VARCHAR; start VARCHAR; finish VARCHAR; break_minutes VARCHAR; booking_code VARCHAR; job VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR
SELECT
    line_batch,
    line_row,
    row_number() OVER (ORDER BY line_batch, line_row) AS line,
    raw,
    default_job,
    nullif(trim(raw ->> 'sheet', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS sheet,
    nullif(trim(raw ->> 'worker_id', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS worker_id,
    nullif(trim(raw ->> 'date', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS date,
    nullif(trim(raw ->> 'hours', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS hours,
    nullif(trim(raw ->> 'start', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS start,
    nullif(trim(raw ->> 'finish', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS finish,
    nullif(trim(raw ->> 'break_minutes', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS break_minutes,
    nullif(trim(raw ->> 'booking_code', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS booking_code,
    nullif(trim(raw ->> 'job', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS job,
    nullif(trim(raw ->> 'note', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS note,
    nullif(trim(raw ->> 'pay_class', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS pay_class,
    nullif(trim(raw ->> 'trade', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS trade,
    nullif(trim(raw ->> 'rework', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS rework,
    nullif(trim(raw ->> 'approved_by', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS approved_by
FROM staged_held
ORDER BY line
