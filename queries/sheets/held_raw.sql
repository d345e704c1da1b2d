-- held_raw: the held lines as they were read, to be read again.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; place BIGINT; line BIGINT; is_total BOOLEAN; sum_key VARCHAR; raw VARCHAR; default_job VARCHAR; date_wrong VARCHAR; hours_wrong VARCHAR; sheet VARCHAR; worker_id VARCHAR; date VARCHAR; hours VARCHAR; start VARCHAR; finish VARCHAR; break_minutes VARCHAR; booking_code VARCHAR; job VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR
WITH told AS (
    SELECT
        *,
        CASE
            WHEN json_type(raw, '$.read') = 'OBJECT' THEN raw -> '$.read'
            WHEN json_type(raw, '$.cells') = 'OBJECT' THEN raw -> '$.cells'
            ELSE raw::JSON
        END AS cells
    FROM staged_held
)

SELECT
    line_batch,
    line_row,
    row_number() OVER (ORDER BY line_batch, line_row) AS place,
    line,
    false AS is_total,
    NULL::VARCHAR AS sum_key,
    raw,
    default_job,
    CASE WHEN json_type(raw, '$.read') = 'OBJECT' THEN cells ->> 'date_wrong' END AS date_wrong,
    CASE WHEN json_type(raw, '$.read') = 'OBJECT' THEN cells ->> 'hours_wrong' END AS hours_wrong,
    nullif(trim(cells ->> 'sheet', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS sheet,
    nullif(trim(cells ->> 'worker_id', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS worker_id,
    nullif(trim(cells ->> 'date', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS date,
    nullif(trim(cells ->> 'hours', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS hours,
    nullif(trim(cells ->> 'start', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS start,
    nullif(trim(cells ->> 'finish', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS finish,
    nullif(trim(cells ->> 'break_minutes', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS break_minutes,
    nullif(trim(cells ->> 'booking_code', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS booking_code,
    nullif(trim(cells ->> 'job', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS job,
    nullif(trim(cells ->> 'note', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS note,
    nullif(trim(cells ->> 'pay_class', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS pay_class,
    nullif(trim(cells ->> 'trade', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS trade,
    nullif(trim(cells ->> 'rework', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS rework,
    nullif(trim(cells ->> 'approved_by', ' ' || chr(9) || chr(10) || chr(13) || chr(160)), '') AS approved_by
FROM told
ORDER BY place
