-- budget_postings_rated: the signed rows that move budget postings without a rate to the rate now known.
-- In:  $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; source VARCHAR; reference VARCHAR; part VARCHAR; trade VARCHAR; package_kind VARCHAR; counts_from DATE; place BIGINT; ms BIGINT, milliseconds; budget_rate BIGINT, 1/10000
WITH unrated AS (
    SELECT job, source, reference, part, trade, package_kind, counts_from, place, sum(ms)::BIGINT AS ms
    FROM known_budget_posting($upto)
    WHERE budget_rate IS NULL AND trade IS NOT NULL
    GROUP BY ALL
    HAVING sum(ms) <> 0
),

rated AS (
    SELECT u.*, r.cost_per_hour
    FROM unrated AS u
    INNER JOIN current_rate($upto) AS r
        ON r.trade = u.trade
        AND r.grade IS NULL
        AND r.worker_id IS NULL
        AND r.effective_from <= u.counts_from
    QUALIFY row_number() OVER (
        PARTITION BY u.job, u.source, u.reference, u.part, u.trade, u.package_kind, u.counts_from, u.place
        ORDER BY r.effective_from DESC
    ) = 1
)

SELECT job, source, reference, part, trade, package_kind, counts_from, place, -ms AS ms, NULL::BIGINT AS budget_rate
FROM rated
UNION ALL
SELECT job, source, reference, part, trade, package_kind, counts_from, place, ms, cost_per_hour AS budget_rate
FROM rated
ORDER BY ALL
