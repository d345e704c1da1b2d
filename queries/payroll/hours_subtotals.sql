-- hours_subtotals: hours asked for, by trade, by job or other place, and by pay class; each of these adds up to all.
-- In:  none
-- Out: part VARCHAR, trade, job or pay_class; name VARCHAR, null where none is known; ms DECIMAL(38,0), milliseconds; saturday_ms DECIMAL(38,0), worked on Saturdays
WITH listed AS (
    SELECT 'trade' AS part, 1 AS place, trade AS name, day, kind, ms FROM staged_hour WHERE is_asked
    UNION ALL
    SELECT 'job' AS part, 2 AS place, place AS name, day, kind, ms FROM staged_hour WHERE is_asked
    UNION ALL
    SELECT 'pay_class' AS part, 3 AS place, pay_class AS name, day, kind, ms FROM staged_hour WHERE is_asked
)

SELECT
    part,
    name,
    sum(ms)::DECIMAL(38,0) AS ms,
    coalesce(sum(ms) FILTER (WHERE kind = 'worked' AND isodow(day) = 6), 0)::DECIMAL(38,0) AS saturday_ms
FROM listed
GROUP BY part, place, name
ORDER BY place, name
