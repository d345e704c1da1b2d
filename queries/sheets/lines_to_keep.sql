-- lines_to_keep: the judged lines that are new to the book, each with the way it is held or booked and its note.
-- In:  $file_row BIGINT; $is_in_lines BOOLEAN, a line's number tells its place in the file
-- Out: row BIGINT; file_row BIGINT; line BIGINT; place BIGINT, in the file; sheet VARCHAR; worker_id VARCHAR; day DATE; ms BIGINT, milliseconds; start_time VARCHAR; finish_time VARCHAR; break_minutes BIGINT; what BIGINT; note BIGINT
SELECT
    j.line_row AS row,
    $file_row::BIGINT AS file_row,
    j.line,
    CASE WHEN NOT $is_in_lines::BOOLEAN THEN j.place END AS place,
    j.sheet,
    j.worker_id,
    j.day,
    j.ms,
    j.start_time,
    j.finish_time,
    j.break_minutes,
    w.number AS what,
    n.row AS note
FROM staged_judged AS j
LEFT JOIN staged_line_key AS k ON k.place = j.place
INNER JOIN staged_what AS w
    ON w.held IS NULL
    AND w.booking_code IS NOT DISTINCT FROM j.booking_code
    AND w.job_given IS NOT DISTINCT FROM j.job_given
    AND w.pay_class IS NOT DISTINCT FROM j.pay_class
    AND w.trade IS NOT DISTINCT FROM j.trade
    AND w.rework IS NOT DISTINCT FROM j.rework
    AND w.approved_by IS NOT DISTINCT FROM j.approved_by
    AND w.by_worker IS NOT DISTINCT FROM k.by_worker
    AND w.by_day IS NOT DISTINCT FROM k.by_day
    AND w.by_note IS NOT DISTINCT FROM k.by_note
    AND w.by_trade IS NOT DISTINCT FROM k.by_trade
LEFT JOIN staged_note AS n ON n.note = j.note
WHERE j.outcome = 'booked'
UNION ALL
SELECT
    j.line_row AS row,
    $file_row::BIGINT AS file_row,
    j.line,
    CASE WHEN NOT $is_in_lines::BOOLEAN THEN j.place END AS place,
    j.sheet,
    -- A name that leads to nobody is not kept; it stands in the line's own text.
    CASE WHEN NOT starts_with(j.worker_id, chr(31)) THEN j.worker_id END AS worker_id,
    j.day,
    NULL AS ms,
    NULL AS start_time,
    NULL AS finish_time,
    NULL AS break_minutes,
    w.number AS what,
    NULL AS note
FROM staged_judged AS j
INNER JOIN staged_what AS w ON w.held = j.reason
WHERE j.outcome = 'held'
ORDER BY row
