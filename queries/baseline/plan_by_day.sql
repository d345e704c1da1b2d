-- plan_by_day: planned time by package or change, trade and day or period, of what counts by a date.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $every VARCHAR, day, week or month; $week_start BIGINT, 0 for Monday; $upto BIGINT, the last batch that counts
-- Out: part VARCHAR; trade VARCHAR; original BOOLEAN, from the freeze; day DATE, of a period its last; ms DECIMAL(38,0), milliseconds; cost DECIMAL(38,0), ms x 1/10000; unrated_ms DECIMAL(38,0), ms without a rate
WITH standing AS (
    SELECT
        part,
        trade,
        source = 'freeze' AS original,
        day,
        sum(ms) AS ms,
        sum(ms::HUGEINT * budget_rate) AS cost,
        sum(ms) FILTER (WHERE budget_rate IS NULL) AS unrated_ms
    FROM known_plan_posting($upto)
    WHERE job = $job AND counts_from <= $status_date
    GROUP BY part, trade, source, reference, counts_from, place, day
    HAVING sum(ms) <> 0 OR bool_and(ms = 0)
)

SELECT
    part,
    trade,
    original,
    period_end(day, $every, $week_start, $status_date) AS day,
    sum(ms)::DECIMAL(38,0) AS ms,
    coalesce(sum(cost), 0)::DECIMAL(38,0) AS cost,
    coalesce(sum(unrated_ms), 0)::DECIMAL(38,0) AS unrated_ms
FROM standing
GROUP BY ALL
ORDER BY part, trade, day, original
