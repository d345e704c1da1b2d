-- doubt_leave: periods of which more leave was paid than a worker booked as absence and can have had on weekdays without any time.
-- In:  $classes VARCHAR[], of pay that is not worked; $full_day_ms BIGINT, milliseconds of a day without time; $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; period_start DATE; period_end DATE; paid_ms BIGINT, milliseconds of leave; over_ms BIGINT, of it on days that were worked
WITH paid AS (
    SELECT worker_id, period_start, period_end, sum(ms)::BIGINT AS paid_ms
    FROM current_payroll_line($upto)
    WHERE list_contains($classes::VARCHAR[], pay_class)
    GROUP BY worker_id, period_start, period_end
),

by_day AS (
    SELECT
        p.worker_id,
        p.period_start,
        p.period_end,
        b.day,
        sum(b.ms) AS ms,
        coalesce(sum(b.ms) FILTER (WHERE b.booked_to = 'absence'), 0) AS absent_ms
    FROM paid AS p
    INNER JOIN known_posting($upto) AS b
        ON b.worker_id = p.worker_id AND b.day BETWEEN p.period_start AND p.period_end
    GROUP BY p.worker_id, p.period_start, p.period_end, b.day
    HAVING sum(b.ms) > 0
),

summed AS (
    SELECT
        p.worker_id,
        p.period_start,
        p.period_end,
        p.paid_ms,
        coalesce(sum(d.absent_ms), 0) + $full_day_ms::BIGINT * (
            weekdays_by(p.period_end + 1) - weekdays_by(p.period_start)
            - count(d.day) FILTER (WHERE isodow(d.day) <= 5)
        ) AS away_ms
    FROM paid AS p
    LEFT JOIN by_day AS d
        ON d.worker_id = p.worker_id AND d.period_start = p.period_start AND d.period_end = p.period_end
    GROUP BY p.worker_id, p.period_start, p.period_end, p.paid_ms
)

SELECT worker_id, period_start, period_end, paid_ms, (paid_ms - away_ms)::BIGINT AS over_ms
FROM summed
WHERE paid_ms > away_ms
ORDER BY worker_id, period_start, period_end
