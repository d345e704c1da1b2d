-- held_raw: the held lines as they were read, to be read again.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; place BIGINT; line BIGINT; is_total BOOLEAN; sum_key VARCHAR; raw VARCHAR; default_job VARCHAR; date_wrong VARCHAR; hours_wrong VARCHAR; sheet VARCHAR; worker_id VARCHAR; date VARCHAR; hours VARCHAR; start VARCHAR; finish VARCHAR; break_minutes VARCHAR; booking_code VARCHAR; job VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR
-- What was erased says nothing.
WITH kept AS (
    SELECT *, CASE WHEN json_valid(raw) THEN raw END AS text
    FROM staged_held
),

told AS (
    SELECT
        *,
        CASE
            WHEN json_type(text, '$.read') = 'OBJECT' THEN text -> '$.read'
            WHEN json_type(text, '$.cells') = 'OBJECT' THEN text -> '$.cells'
            ELSE text::JSON
        END AS cells
    FROM kept
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
    CASE WHEN json_type(text, '$.read') = 'OBJECT' THEN cells ->> 'date_wrong' END AS date_wrong,
    CASE WHEN json_type(text, '$.read') = 'OBJECT' THEN cells ->> 'hours_wrong' END AS hours_wrong,
    bare(cells ->> 'sheet') AS sheet,
    bare(cells ->> 'worker_id') AS worker_id,
    bare(cells ->> 'date') AS date,
    bare(cells ->> 'hours') AS hours,
    bare(cells ->> 'start') AS start,
    bare(cells ->> 'finish') AS finish,
    bare(cells ->> 'break_minutes') AS break_minutes,
    bare(cells ->> 'booking_code') AS booking_code,
    bare(cells ->> 'job') AS job,
    bare(cells ->> 'note') AS note,
    bare(cells ->> 'pay_class') AS pay_class,
    bare(cells ->> 'trade') AS trade,
    bare(cells ->> 'rework') AS rework,
    bare(cells ->> 'approved_by') AS approved_by
FROM told
ORDER BY place
