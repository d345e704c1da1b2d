-- plan_by_day: planned time by package or change and trade, with the days or periods that it is planned on.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $every VARCHAR, day, week or month; $week_start BIGINT, 0 for Monday; $upto BIGINT, the last batch that counts
-- Out: part VARCHAR; trade VARCHAR; original BOOLEAN, from the freeze; days DATE[], in order, of a period its last; ms BIGINT[], milliseconds, of each; costs HUGEINT[], ms x 1/10000, of each, null where a rate is missing
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
),

planned AS (
    SELECT
        part,
        trade,
        original,
        period_end(day, $every, $week_start, $status_date) AS day,
        sum(ms)::BIGINT AS ms,
        CASE WHEN coalesce(sum(unrated_ms), 0) = 0 THEN coalesce(sum(cost), 0) END AS cost
    FROM standing
    GROUP BY ALL
)

SELECT
    part,
    trade,
    original,
    list(day ORDER BY day) AS days,
    list(ms ORDER BY day) AS ms,
    list(cost ORDER BY day) AS costs
FROM planned
GROUP BY part, trade, original
ORDER BY part, trade, original
