-- entry_lines_changed: the lines of entries as they read so far, with fields changed alike in all.
-- In:  $fields VARCHAR[]; $values VARCHAR[], of each field, null for blank
-- Out: line_batch BIGINT; line_row BIGINT; place BIGINT; line BIGINT; is_total BOOLEAN; sum_key VARCHAR; raw VARCHAR; default_job VARCHAR; date_wrong VARCHAR; hours_wrong VARCHAR; sheet VARCHAR; worker_id VARCHAR; worker_name VARCHAR; date VARCHAR; hours VARCHAR; start VARCHAR; finish VARCHAR; break_minutes VARCHAR; booking_code VARCHAR; job VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR
SELECT
    * REPLACE (
        CASE WHEN NOT list_contains($fields, 'date') THEN date_wrong END AS date_wrong,
        CASE WHEN NOT list_has_any($fields, ['hours', 'start', 'finish']) THEN hours_wrong END AS hours_wrong,
        CASE WHEN list_contains($fields, 'sheet') THEN $values[list_position($fields, 'sheet')] ELSE sheet END AS sheet,
        CASE WHEN list_contains($fields, 'worker_id') THEN $values[list_position($fields, 'worker_id')] ELSE worker_id END AS worker_id,
        CASE WHEN list_contains($fields, 'date') THEN $values[list_position($fields, 'date')] ELSE date END AS date,
        CASE WHEN list_contains($fields, 'hours') THEN $values[list_position($fields, 'hours')] ELSE hours END AS hours,
        CASE WHEN list_contains($fields, 'start') THEN $values[list_position($fields, 'start')] ELSE start END AS start,
        CASE WHEN list_contains($fields, 'finish') THEN $values[list_position($fields, 'finish')] ELSE finish END AS finish,
        CASE WHEN list_contains($fields, 'break_minutes') THEN $values[list_position($fields, 'break_minutes')] ELSE break_minutes END AS break_minutes,
        CASE WHEN list_contains($fields, 'booking_code') THEN $values[list_position($fields, 'booking_code')] ELSE booking_code END AS booking_code,
        CASE WHEN list_contains($fields, 'job') THEN $values[list_position($fields, 'job')] ELSE job END AS job,
        CASE WHEN list_contains($fields, 'note') THEN $values[list_position($fields, 'note')] ELSE note END AS note,
        CASE WHEN list_contains($fields, 'pay_class') THEN $values[list_position($fields, 'pay_class')] ELSE pay_class END AS pay_class,
        CASE WHEN list_contains($fields, 'trade') THEN $values[list_position($fields, 'trade')] ELSE trade END AS trade,
        CASE WHEN list_contains($fields, 'rework') THEN $values[list_position($fields, 'rework')] ELSE rework END AS rework,
        CASE WHEN list_contains($fields, 'approved_by') THEN $values[list_position($fields, 'approved_by')] ELSE approved_by END AS approved_by
    )
FROM staged_so_far
ORDER BY place
