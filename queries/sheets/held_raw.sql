-- held_raw: the held lines as they were read, to be read again.
-- In:  none
-- Out: line_batch BIGINT; line_row BIGINT; place BIGINT; line BIGINT; is_total BOOLEAN; sum_key VARCHAR; raw VARCHAR; default_job VARCHAR; date_wrong VARCHAR; hours_wrong VARCHAR; sheet VARCHAR; worker_id VARCHAR; worker_name VARCHAR; date VARCHAR; hours VARCHAR; start VARCHAR; finish VARCHAR; break_minutes VARCHAR; booking_code VARCHAR; job VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR
-- What was erased says nothing.
WITH kept AS (
    SELECT *, CASE WHEN json_valid(raw) THEN raw END AS text
    FROM staged_held
),

with_cells AS (
    SELECT
        *,
        CASE
            WHEN json_type(text, '$.read') = 'OBJECT' THEN text -> '$.read'
            WHEN json_type(text, '$.cells') = 'OBJECT' THEN text -> '$.cells'
            ELSE text::JSON
        END AS cells
    FROM kept
),

-- All cells are taken and trimmed by one expression: of one for each the planning takes longest.
trimmed AS (
    SELECT
        *,
        list_transform(
            cells ->> [
                'sheet',
                'worker_id',
                'date',
                'hours',
                'start',
                'finish',
                'break_minutes',
                'booking_code',
                'job',
                'note',
                'pay_class',
                'trade',
                'rework',
                'approved_by',
                'worker_name'
            ],
            lambda cell: bare(cell)
        ) AS texts
    FROM with_cells
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
    texts[1] AS sheet,
    texts[2] AS worker_id,
    texts[15] AS worker_name,
    texts[3] AS date,
    texts[4] AS hours,
    texts[5] AS start,
    texts[6] AS finish,
    texts[7] AS break_minutes,
    texts[8] AS booking_code,
    texts[9] AS job,
    texts[10] AS note,
    texts[11] AS pay_class,
    texts[12] AS trade,
    texts[13] AS rework,
    texts[14] AS approved_by
FROM trimmed
ORDER BY place
