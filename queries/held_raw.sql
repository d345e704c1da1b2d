-- held_raw: the held lines as they were written, to be read again.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; line BIGINT; raw VARCHAR; default_job VARCHAR; sheet VARCHAR; worker_id VARCHAR; date VARCHAR; hours VARCHAR; start VARCHAR; finish VARCHAR; break_minutes VARCHAR; booking_code VARCHAR; job VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR
SELECT
    line_batch,
    line_row,
    row_number() OVER (ORDER BY line_batch, line_row) AS line,
    raw,
    default_job,
    nullif(trim(raw ->> 'sheet'), '') AS sheet,
    nullif(trim(raw ->> 'worker_id'), '') AS worker_id,
    nullif(trim(raw ->> 'date'), '') AS date,
    nullif(trim(raw ->> 'hours'), '') AS hours,
    nullif(trim(raw ->> 'start'), '') AS start,
    nullif(trim(raw ->> 'finish'), '') AS finish,
    nullif(trim(raw ->> 'break_minutes'), '') AS break_minutes,
    nullif(trim(raw ->> 'booking_code'), '') AS booking_code,
    nullif(trim(raw ->> 'job'), '') AS job,
    nullif(trim(raw ->> 'note'), '') AS note,
    nullif(trim(raw ->> 'pay_class'), '') AS pay_class,
    nullif(trim(raw ->> 'trade'), '') AS trade,
    nullif(trim(raw ->> 'rework'), '') AS rework,
    nullif(trim(raw ->> 'approved_by'), '') AS approved_by
FROM staged_held
ORDER BY line
