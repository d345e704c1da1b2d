-- written_of_files: the texts of the lines wanted of a file that was read again, numbered on.
-- In:  $batch BIGINT; $file_row BIGINT
-- Out: line_batch BIGINT; line_row BIGINT; place BIGINT; line BIGINT; is_total BOOLEAN; sum_key VARCHAR; raw VARCHAR; default_job VARCHAR; date_wrong VARCHAR; hours_wrong VARCHAR; sheet VARCHAR; worker_id VARCHAR; worker_name VARCHAR; date VARCHAR; hours VARCHAR; start VARCHAR; finish VARCHAR; break_minutes VARCHAR; booking_code VARCHAR; job VARCHAR; note VARCHAR; pay_class VARCHAR; trade VARCHAR; rework VARCHAR; approved_by VARCHAR
SELECT
    w.line_batch,
    w.line_row,
    (SELECT coalesce(max(place), 0) FROM staged_written) + row_number() OVER (ORDER BY w.line_row) AS place,
    w.line,
    r.is_total,
    r.sum_key,
    r.raw,
    r.default_job,
    r.date_wrong,
    r.hours_wrong,
    r.sheet,
    r.worker_id,
    r.worker_name,
    r.date,
    r.hours,
    r.start,
    r.finish,
    r.break_minutes,
    r.booking_code,
    r.job,
    r.note,
    r.pay_class,
    r.trade,
    r.rework,
    r.approved_by
FROM staged_line_wanted AS w
INNER JOIN (
    SELECT r.* REPLACE (r.line + s.left_out AS line)
    FROM staged_raw AS r
    ASOF JOIN staged_stretch_read AS s ON s.line <= r.line
) AS r
    ON r.line = w.line
    AND coalesce(r.place = w.place, true)
    AND NOT r.is_total
WHERE w.line_batch = $batch AND w.file_row = $file_row
ORDER BY place
