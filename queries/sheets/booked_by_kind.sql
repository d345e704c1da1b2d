-- booked_by_kind: all time booked: of jobs, overhead, absence, untagged without a job, and their sum.
-- In:  $upto BIGINT, the last batch that counts
-- Out: kind VARCHAR; ms DECIMAL(38,0), milliseconds
WITH kinds AS (
    SELECT
        unnest(['in jobs', 'overhead', 'absence', 'untagged without a job', 'booked']) AS kind,
        unnest([1, 2, 3, 4, 5]) AS place
),

placed AS (
    SELECT
        CASE WHEN job IS NOT NULL THEN 1
            WHEN booked_to = 'overhead' THEN 2
            WHEN booked_to = 'absence' THEN 3
            ELSE 4 END AS place,
        sum(ms) AS ms
    FROM known_posting($upto)
    GROUP BY place
)

SELECT k.kind, coalesce(sum(p.ms), 0)::DECIMAL(38,0) AS ms
FROM kinds AS k
LEFT JOIN placed AS p ON p.place = k.place OR k.place = 5
GROUP BY k.kind, k.place
ORDER BY k.place
