-- premium_by_part: what overtime premium cost a job by place, cause, rework, trade worked and day or period, and the cost of hours that are only a premium.
-- In:  $every VARCHAR, day, week or month; $week_start BIGINT, 0 for Monday; $status_date DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: part VARCHAR; cause VARCHAR; rework VARCHAR; trade VARCHAR, null of a worker who is not in the crew; day DATE, of a period its last; premium DECIMAL(38,0), ms x 1/10000; only_ms DECIMAL(38,0), milliseconds that are only a premium; only_cost DECIMAL(38,0), ms x 1/10000 at the rate, which they do not cost
SELECT
    t.booked_to AS part,
    t.cause,
    t.rework,
    r.trade,
    period_end(t.day, $every, $week_start, $status_date) AS day,
    coalesce(sum(t.ms::HUGEINT * premium_rate(r.cost_per_hour, t.share)), 0)::DECIMAL(38,0) AS premium,
    coalesce(sum(t.ms) FILTER (WHERE t.share IS NULL), 0)::DECIMAL(38,0) AS only_ms,
    coalesce(sum(t.ms::HUGEINT * r.cost_per_hour) FILTER (WHERE t.share IS NULL), 0)::DECIMAL(38,0) AS only_cost
FROM staged_premium AS t
INNER JOIN rated_day($upto) AS r
    ON r.worker_id = t.worker_id AND r.day = t.day AND r.sheet_trade IS NOT DISTINCT FROM t.sheet_trade
GROUP BY ALL
ORDER BY part, trade, day, cause, rework
