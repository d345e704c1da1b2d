-- journal_time: time booked up to a day by job or cause and by when it was worked, with its cost at the rates of the day worked.
-- In:  $day DATE, inclusive; $before DATE, the last day of the period before, null of the first; $upto BIGINT, the last batch that counts
-- Out: debit VARCHAR, work_in_progress, overhead, absence or untagged; job VARCHAR; cause VARCHAR, of overhead and absence; is_earlier BOOLEAN, worked by the day before; ms DECIMAL(38,0), milliseconds; cost DECIMAL(38,0), ms x 1/10000; unrated_day DATE; unrated_worker VARCHAR
WITH booked AS (
    SELECT
        CASE WHEN job IS NOT NULL THEN 'work_in_progress' ELSE booked_to END AS debit,
        job,
        CASE WHEN job IS NULL THEN cause END AS cause,
        worker_id,
        day,
        trade,
        coalesce(day <= $before::DATE, false) AS is_earlier,
        sum(ms) AS ms
    FROM known_posting($upto)
    WHERE day <= $day
    GROUP BY ALL
    HAVING sum(ms) <> 0
)

SELECT
    b.debit,
    b.job,
    b.cause,
    b.is_earlier,
    sum(b.ms)::DECIMAL(38,0) AS ms,
    coalesce(sum(b.ms::HUGEINT * r.cost_per_hour), 0)::DECIMAL(38,0) AS cost,
    min(b.day) FILTER (WHERE r.cost_per_hour IS NULL) AS unrated_day,
    min_by(b.worker_id, (b.day, b.worker_id)) FILTER (WHERE r.cost_per_hour IS NULL) AS unrated_worker
FROM booked AS b
INNER JOIN rated_day($upto) AS r
    ON r.worker_id = b.worker_id AND r.day = b.day AND r.sheet_trade IS NOT DISTINCT FROM b.trade
GROUP BY b.debit, b.job, b.cause, b.is_earlier
ORDER BY b.debit, b.job, b.cause, b.is_earlier
