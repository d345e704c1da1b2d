-- overtime: hours above the yard's thresholds over all jobs, each at the day it belongs to: what is above a week's at the last day with time, in the days asked for if the week ends there, or at the end of the week.
-- In:  $weekly_ms BIGINT, milliseconds of a week, null for none; $daily_ms BIGINT, of a day, null for none; $leave_counts BOOLEAN, paid leave counts for the week; $at_week_end BOOLEAN; $from DATE; $to DATE, inclusive, null for all
-- Out: worker_id VARCHAR; day DATE; week DATE; of_week BOOLEAN, above the week's threshold, else the day's; ms DECIMAL(38,0), milliseconds
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
            max(day) FILTER (WHERE NOT $at_week_end AND day >= coalesce($from::DATE, day)),
            week + 6
        ) AS day,
        greatest(sum(counted_ms) - $weekly_ms::BIGINT - sum(ms), 0) AS ms
    FROM daily
    WHERE $weekly_ms::BIGINT IS NOT NULL AND week + 6 <= coalesce($to::DATE, week + 6)
    GROUP BY worker_id, week
)

SELECT worker_id, day, week, of_week, ms::DECIMAL(38,0) AS ms
FROM (
    SELECT worker_id, day, week, false AS of_week, ms FROM daily WHERE day >= coalesce($from::DATE, day)
    UNION ALL
    SELECT worker_id, day, week, true AS of_week, ms FROM weekly
)
WHERE ms > 0
ORDER BY worker_id, day, of_week
