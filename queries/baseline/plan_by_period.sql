-- plan_by_period: planned time by package or change and trade, with the weeks or months that it is planned in, without costs.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $every VARCHAR, week or month; $week_start BIGINT, 0 for Monday; $upto BIGINT, the last batch that counts
-- Out: part VARCHAR; trade VARCHAR; original BOOLEAN, from the freeze; periods BIGINT[], their numbers, in any order, one higher after the status date, which parts its own in two; ms BIGINT[], milliseconds, of each
-- What a posting took back to nothing is not planned on its day any more. Only parts with such a
-- posting are looked through for it, as that takes as long as all the rest.
WITH lessened AS (
    SELECT DISTINCT part
    FROM known_plan_posting($upto)
    WHERE job = $job AND counts_from <= $status_date AND ms < 0
),

standing AS (
    SELECT
        p.part,
        p.trade,
        p.source = 'freeze' AS original,
        p.day,
        sum(p.ms) AS ms
    FROM known_plan_posting($upto) AS p
    SEMI JOIN lessened AS l ON l.part = p.part
    WHERE p.job = $job AND p.counts_from <= $status_date
    GROUP BY p.part, p.trade, p.source, p.reference, p.counts_from, p.place, p.day
    HAVING sum(p.ms) <> 0 OR bool_and(p.ms = 0)
),

planned AS (
    SELECT
        p.part,
        p.trade,
        p.source = 'freeze' AS original,
        period_number(p.day, $every, $week_start) + (p.day > $status_date)::BIGINT AS period,
        sum(p.ms)::BIGINT AS ms
    FROM known_plan_posting($upto) AS p
    ANTI JOIN lessened AS l ON l.part = p.part
    WHERE p.job = $job AND p.counts_from <= $status_date
    GROUP BY ALL
    UNION ALL
    SELECT
        part,
        trade,
        original,
        period_number(day, $every, $week_start) + (day > $status_date)::BIGINT AS period,
        sum(ms)::BIGINT AS ms
    FROM standing
    GROUP BY ALL
)

SELECT
    part,
    trade,
    original,
    list(period) AS periods,
    list(ms) AS ms
FROM planned
GROUP BY part, trade, original
ORDER BY part, trade, original
