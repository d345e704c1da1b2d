-- doubt_planned: packages and changes with the trades that their estimate, price or budget names, and of packages the planned start.
-- In:  $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; place VARCHAR; trades VARCHAR[]; opens_on DATE, null of a change
-- A change priced without trades has no row, nor has one that is not priced.
WITH planned AS (
    SELECT job, work_package AS place, trade, planned_start
    FROM planned_package($upto)
    UNION ALL
    SELECT job, change AS place, trade, NULL AS planned_start
    FROM current_change_line($upto)
    WHERE price_kind = 'labour' AND work_package IS NULL
    UNION ALL
    SELECT job, part AS place, trade, NULL AS planned_start
    FROM known_budget_posting($upto)
    WHERE trade IS NOT NULL
)

SELECT job, place, list(DISTINCT trade ORDER BY trade) AS trades, min(planned_start) AS opens_on
FROM planned
GROUP BY job, place
HAVING count(*) = count(trade)
ORDER BY job, place
