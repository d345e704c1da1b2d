-- overtime: hours above the yard's thresholds over all jobs, each at the day it belongs to: what is above a week's at the last day with time, in the days asked for if the week ends there.
-- In:  $weekly_ms BIGINT, milliseconds of a week, null for none; $daily_ms BIGINT, of a day, null for none; $leave_counts BOOLEAN, paid leave counts for the week; $from DATE; $to DATE, inclusive, null for all
-- Out: worker_id VARCHAR; day DATE; week DATE; ms DECIMAL(38,0), milliseconds
WITH by_day AS (
    SELECT
        worker_id,
        week,
        day,
        coalesce(sum(ms) FILTER (WHERE kind = 'worked'), 0) AS worked_ms,
        coalesce(sum(ms) FILTER (WHERE kind = 'worked' OR (kind = 'paid_not_worked' AND $leave_counts)), 0) AS counted_ms
    FROM staged_hour
    WHERE kind IN ('worked', 'paid_not_worked')
    GROUP BY worker_id, week, day
),

daily AS (
    SELECT worker_id, week, day, counted_ms, coalesce(greatest(worked_ms - $daily_ms::BIGINT, 0), 0) AS ms
    FROM by_day
),

-- What is above the day's threshold is not counted again above the week's.
weekly AS (
    SELECT
        worker_id,
        week,
        coalesce(
            max(day) FILTER (WHERE day >= coalesce($from::DATE, day)),
            week + 6
        ) AS day,
        greatest(sum(counted_ms) - $weekly_ms::BIGINT - sum(ms), 0) AS ms
    FROM daily
    WHERE $weekly_ms::BIGINT IS NOT NULL AND week + 6 <= coalesce($to::DATE, week + 6)
    GROUP BY worker_id, week
)

SELECT worker_id, day, week, sum(ms)::DECIMAL(38,0) AS ms
FROM (
    SELECT worker_id, day, week, ms FROM daily WHERE day >= coalesce($from::DATE, day)
    UNION ALL
    SELECT worker_id, day, week, ms FROM weekly
)
GROUP BY worker_id, day, week
HAVING sum(ms) > 0
ORDER BY worker_id, day
