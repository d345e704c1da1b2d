-- banked_hours: hours that workers have in a bank by a day: booked and not paid, less paid from it; below 0 they owe.
-- In:  $to DATE, by which periods end; $classes VARCHAR[]; $kinds VARCHAR[], the kind of each pay class; $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; ms BIGINT, milliseconds
WITH class AS (
    SELECT unnest($classes::VARCHAR[]) AS pay_class, unnest($kinds::VARCHAR[]) AS kind
),

noted AS (
    SELECT worker_id, period_start, period_end, reason, ms
    FROM current_payroll_note($upto)
    WHERE worker_id IS NOT NULL AND kind = 'worked'
),

span AS (
    SELECT
        p.worker_id,
        p.period_start,
        p.period_end,
        coalesce(sum(p.ms) FILTER (WHERE p.pay_class <> 'banked_hours'), 0) AS paid_ms
    FROM current_payroll_line($upto) AS p
    LEFT JOIN class AS k ON k.pay_class = p.pay_class
    WHERE coalesce(k.kind, 'worked') = 'worked'
    GROUP BY ALL
),

-- On sheets; of those whom payroll pays by the hour, as in the reconciliation.
on_sheets AS (
    SELECT p.worker_id, p.day, sum(p.ms) AS ms
    FROM known_posting($upto) AS p
    LEFT JOIN staged_pay_crew AS c ON c.worker_id = p.worker_id AND c.day_from <= p.day AND c.day_before > p.day
    WHERE word_of(trim(p.pay_class)) = 'banked_hours'
        AND p.booked_to <> 'absence'
        AND p.day <= $to::DATE
        AND coalesce(c.employment, 'hourly') NOT IN ('agency', 'subcontract')
        AND c.contract_ms IS NULL
    GROUP BY ALL
    HAVING sum(p.ms) > 0
),

meant AS (
    SELECT o.worker_id, s.period_start, s.period_end, s.paid_ms, sum(o.ms) AS ms
    FROM on_sheets AS o
    LEFT JOIN span AS s ON s.worker_id = o.worker_id AND o.day BETWEEN s.period_start AND s.period_end
    WHERE coalesce(s.period_end, $to::DATE) <= $to::DATE
    GROUP BY ALL
),

booked AS (
    SELECT m.worker_id, m.period_start, sum(p.ms) AS ms
    FROM meant AS m
    INNER JOIN known_posting($upto) AS p
        ON p.worker_id = m.worker_id AND p.day BETWEEN m.period_start AND m.period_end
    LEFT JOIN class AS k ON k.pay_class = word_of(trim(p.pay_class))
    WHERE kind_of_pay(CASE WHEN p.booked_to = 'absence' THEN 'absence' END, k.kind) = 'worked'
    GROUP BY ALL
),

noted_in AS (
    SELECT m.worker_id, m.period_start, sum(n.ms) AS ms
    FROM meant AS m
    INNER JOIN noted AS n
        ON n.worker_id = m.worker_id AND n.period_start >= m.period_start AND n.period_end <= m.period_end
    GROUP BY ALL
),

-- Where nothing was paid yet, what notes say of the bank is said of the same hours.
noted_unpaid AS (
    SELECT n.worker_id, sum(n.ms) AS ms
    FROM noted AS n
    ANTI JOIN span AS s
        ON s.worker_id = n.worker_id AND n.period_start >= s.period_start AND n.period_end <= s.period_end
    SEMI JOIN on_sheets AS o ON o.worker_id = n.worker_id AND o.day BETWEEN n.period_start AND n.period_end
    WHERE n.reason = 'banked_hours' AND n.period_end <= $to::DATE
    GROUP BY n.worker_id
),

-- What the period lacks, notes apart, as far as sheets mean it for the bank: hours that were paid went into none.
put_in AS (
    SELECT
        m.worker_id,
        least(
            m.ms,
            greatest(
                CASE
                    WHEN m.period_start IS NULL THEN m.ms + coalesce(u.ms, 0)
                    ELSE b.ms - m.paid_ms + coalesce(n.ms, 0)
                END,
                0
            )
        ) AS ms
    FROM meant AS m
    LEFT JOIN booked AS b ON b.worker_id = m.worker_id AND b.period_start = m.period_start
    LEFT JOIN noted_in AS n ON n.worker_id = m.worker_id AND n.period_start = m.period_start
    LEFT JOIN noted_unpaid AS u ON u.worker_id = m.worker_id
),

moved AS (
    SELECT worker_id, ms
    FROM current_payroll_note($upto)
    WHERE reason = 'banked_hours' AND worker_id IS NOT NULL AND period_end <= $to::DATE
    UNION ALL
    SELECT worker_id, ms
    FROM current_payroll_line($upto)
    WHERE pay_class = 'banked_hours' AND period_end <= $to::DATE
    UNION ALL
    SELECT worker_id, -ms AS ms
    FROM put_in
)

SELECT worker_id, (-sum(ms))::BIGINT AS ms
FROM moved
GROUP BY worker_id
HAVING sum(ms) <> 0
ORDER BY worker_id
