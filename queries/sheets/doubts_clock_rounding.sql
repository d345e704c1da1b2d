-- doubts_clock_rounding: workers whose time booked in a month departs from the clock by little, and always to one side.
-- In:  $step_ms BIGINT, milliseconds that times are rounded to; $rounding_days BIGINT, fewer such days are let pass
-- Out: worker_id VARCHAR; day DATE, the last of them; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
WITH small AS (
    SELECT
        worker_id,
        day,
        entries,
        booked_ms - clocked_ms AS rounded_ms,
        strftime(day, '%Y-%m') AS month
    FROM staged_doubt_clocked
    WHERE booked_ms > 0
        AND booked_ms <> clocked_ms
        AND abs(booked_ms - clocked_ms) < 2 * spans * $step_ms::BIGINT
)

SELECT
    worker_id,
    max(day) AS day,
    flatten(list(entries ORDER BY day)) AS entries,
    concat_ws(' ', worker_id, month, string_agg(array_to_string(entries, ' ') || ' ' || rounded_ms, ' ' ORDER BY day)) AS about,
    'worker ' || worker_id || ' has ' || hours_text(abs(sum(rounded_ms))::BIGINT)
        || CASE WHEN sum(rounded_ms) < 0 THEN ' h less' ELSE ' h more' END || ' booked than clocked in ' || month
        || ', a little on each of ' || count(*) || ' days and never the other way' AS message
FROM small
GROUP BY worker_id, month
HAVING count(*) >= $rounding_days::BIGINT AND abs(sum(sign(rounded_ms))) = count(*)
ORDER BY day, worker_id
