-- journal_premium: what overtime premium cost by job or cause and by when it was worked, and the cost of hours that are only a premium.
-- In:  $before DATE, the last day of the period before, null of the first; $upto BIGINT, the last batch that counts
-- Out: debit VARCHAR, where the hours stand: work_in_progress, overhead or untagged; job VARCHAR; cause VARCHAR, of overhead; is_earlier BOOLEAN, worked by the day before; premium DECIMAL(38,0), ms x 1/10000; only_cost DECIMAL(38,0), ms x 1/10000 at the rate, which they do not cost
SELECT
    CASE WHEN t.job IS NOT NULL THEN 'work_in_progress' ELSE t.booked_to END AS debit,
    t.job,
    CASE WHEN t.job IS NULL THEN t.cause END AS cause,
    coalesce(t.day <= $before::DATE, false) AS is_earlier,
    coalesce(sum(t.ms::HUGEINT * premium_rate(r.cost_per_hour, t.share)), 0)::DECIMAL(38,0) AS premium,
    coalesce(sum(t.ms::HUGEINT * r.cost_per_hour) FILTER (WHERE t.share IS NULL), 0)::DECIMAL(38,0) AS only_cost
FROM staged_premium AS t
INNER JOIN rated_day($upto) AS r
    ON r.worker_id = t.worker_id AND r.day = t.day AND r.sheet_trade IS NOT DISTINCT FROM t.sheet_trade
GROUP BY ALL
ORDER BY debit, job, cause, is_earlier
