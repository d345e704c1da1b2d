-- omissions_by_change: hours that approved changes took out of other parts.
-- In:  $job VARCHAR; $status_date DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: change VARCHAR; part VARCHAR; ms DECIMAL(38,0), milliseconds, negative; cost DECIMAL(38,0), ms x 1/10000, negative
SELECT
    reference AS change,
    part,
    sum(ms)::DECIMAL(38,0) AS ms,
    coalesce(sum(ms::HUGEINT * budget_rate), 0)::DECIMAL(38,0) AS cost
FROM known_budget_posting($upto)
WHERE job = $job AND source = 'omission' AND counts_from <= $status_date
GROUP BY reference, part
ORDER BY change, part
