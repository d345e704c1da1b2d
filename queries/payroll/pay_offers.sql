-- pay_offers: reasons that the book shows for what of a difference no note explains, by rank, each up to so much.
-- In:  $tolerance_ms BIGINT, milliseconds that rounding explains; $day_ms BIGINT, of a full day; $classes VARCHAR[]; $kinds VARCHAR[], the kind of each pay class; $reasons VARCHAR[], pay classes that are reasons themselves; $upto BIGINT, the last batch that counts
-- Out: number BIGINT, of the row; rank BIGINT; reason VARCHAR; ms BIGINT, milliseconds, above 0, in the direction of the rest
WITH rest AS (
    SELECT *, sign(rest_ms) AS side, firm IS NOT NULL AND against = 'supplier' AND worker_id IS NULL AS is_firm
    FROM staged_pay_row
    WHERE rest_ms <> 0
),

-- Payroll's own class says what it paid for, as far as sheets do not have it.
class_kind AS (
    SELECT unnest($classes::VARCHAR[]) AS pay_class, unnest($kinds::VARCHAR[]) AS kind
),

of_class AS (
    SELECT p.worker_id, p.period_start, p.period_end, coalesce(k.kind, 'worked') AS kind, p.pay_class AS reason, sum(p.ms) AS ms
    FROM current_payroll_line($upto) AS p
    LEFT JOIN class_kind AS k ON k.pay_class = p.pay_class
    WHERE list_contains($reasons::VARCHAR[], p.pay_class)
    GROUP BY ALL
    UNION ALL
    SELECT l.party AS worker_id, l.period_start, l.period_end, d.kind, d.class_reason AS reason, -sum(d.ms) AS ms
    FROM staged_pay_day AS d
    INNER JOIN staged_pay_placed AS l
        ON l.worker_id = d.worker_id AND l.day = d.day AND l.kind = d.kind AND l.against = d.against
    WHERE d.class_reason IS NOT NULL AND d.against = 'payroll'
    GROUP BY ALL
),

by_class AS (
    SELECT r.number, c.reason, (sum(c.ms) * any_value(r.side))::BIGINT AS ms
    FROM rest AS r
    INNER JOIN of_class AS c
        ON c.worker_id = r.worker_id
        AND c.period_start = r.period_start
        AND c.period_end = r.period_end
        AND c.kind = r.kind
    WHERE r.against = 'payroll'
    GROUP BY r.number, c.reason
),

-- Hours of one kind paid as those of another; time that was worked is never taken for leave.
across AS (
    SELECT
        r.number,
        CASE WHEN 'premium_only' IN (r.kind, o.kind) THEN 'premium_hours' ELSE 'leave' END AS reason,
        least(abs(r.rest_ms), abs(o.rest_ms)) AS ms
    FROM rest AS r
    INNER JOIN rest AS o
        ON o.worker_id = r.worker_id
        AND o.against = r.against
        AND o.period_start = r.period_start
        AND o.period_end = r.period_end
        AND o.side <> r.side
    WHERE (r.kind = 'worked' AND o.kind = 'premium_only')
        OR (r.kind = 'premium_only' AND o.kind = 'worked')
        OR (r.kind = 'worked' AND o.kind = 'paid_not_worked' AND r.side > 0)
        OR (r.kind = 'paid_not_worked' AND o.kind = 'worked' AND r.side < 0)
),

active AS (
    SELECT worker_id, min(day_from) AS day_from, max(coalesce(active_to, DATE '9999-12-31')) AS active_to
    FROM staged_pay_crew
    GROUP BY worker_id
),

-- Days without any time, on which leave was paid or of which the sheet is missing.
free AS (
    SELECT
        r.number,
        r.kind,
        greatest(
            weekdays_by(least(r.period_end, coalesce(a.active_to, r.period_end)) + 1)
            - weekdays_by(greatest(r.period_start, coalesce(a.day_from, r.period_start))) - r.days_booked,
            0
        ) * $day_ms::BIGINT AS ms,
        coalesce((
            SELECT sum(o.rest_ms) FROM rest AS o
            WHERE o.worker_id = r.worker_id
                AND o.period_start = r.period_start
                AND o.period_end = r.period_end
                AND o.kind = 'paid_not_worked'
                AND o.side > 0
        ), 0) AS leave_ms
    FROM rest AS r
    LEFT JOIN active AS a ON a.worker_id = r.worker_id
    WHERE r.worker_id IS NOT NULL AND r.side > 0 AND r.kind IN ('worked', 'paid_not_worked')
),

ordered AS (
    SELECT
        *,
        lead(number) OVER following AS next_number,
        lead(period_start) OVER following AS next_start,
        lead(rest_ms) OVER following AS next_rest_ms,
        lead(first_ms) OVER following AS next_first_ms,
        lag(rest_ms) OVER following AS before_rest_ms,
        lag(late_ms) OVER following AS before_late_ms,
        lag(period_end) OVER following AS before_end
    FROM staged_pay_row
    WHERE paid_in IS NOT NULL AND worker_id IS NOT NULL
    WINDOW following AS (PARTITION BY worker_id, against, kind ORDER BY period_end, period_start)
),

-- Where a week lies in two periods: what the one lacks of it and the other has too much.
cut AS (
    SELECT
        number,
        next_number,
        least(
            abs(rest_ms) - CASE
                WHEN before_end + 1 = period_start AND sign(before_rest_ms) * sign(rest_ms) < 0
                    THEN least(abs(rest_ms), abs(before_rest_ms))
                ELSE 0
            END,
            abs(next_rest_ms),
            CASE WHEN rest_ms < 0 THEN last_ms ELSE next_first_ms END
        ) AS ms
    FROM ordered
    WHERE next_start = period_end + 1 AND sign(rest_ms) * sign(next_rest_ms) < 0
),

held AS (
    SELECT
        r.number,
        CASE WHEN t.reason = 'job_differs' THEN 'other_job' ELSE 'missing_sheet' END AS reason,
        sum(p.ms)::BIGINT AS ms
    FROM staged_parsed AS p
    INNER JOIN known_held_text($upto) AS t ON t.batch = p.line_batch AND t.line_row = p.line_row
    INNER JOIN rest AS r ON r.worker_id = p.worker_id AND p.day BETWEEN r.period_start AND r.period_end
    WHERE r.side > 0 AND r.kind = 'worked' AND p.ms BETWEEN 1 AND 86400000
    GROUP BY ALL
),

offered AS (
    SELECT number, 1 AS rank, 'rounding' AS reason, abs(rest_ms) AS ms
    FROM rest
    WHERE abs(rest_ms) <= $tolerance_ms::BIGINT
    UNION ALL
    SELECT number, 2 AS rank, reason, ms FROM by_class
    UNION ALL
    SELECT number, 3 AS rank, 'unpaid' AS reason, abs(rest_ms) AS ms
    FROM rest
    WHERE paid_in IS NULL AND against <> 'contract' AND side < 0
    UNION ALL
    SELECT number, 4 AS rank, reason, ms FROM across
    UNION ALL
    SELECT number, 5 AS rank, 'leave' AS reason, ms FROM free WHERE kind = 'paid_not_worked'
    UNION ALL
    SELECT number, 6 AS rank, 'late_sheet' AS reason, late_ms AS ms FROM rest WHERE side < 0 AND late_ms > 0
    UNION ALL
    SELECT number, 6 AS rank, 'late_sheet' AS reason, before_late_ms AS ms FROM ordered WHERE rest_ms > 0
    UNION ALL
    SELECT number, 7 AS rank, 'period_cut' AS reason, ms FROM cut
    UNION ALL
    SELECT next_number AS number, 7 AS rank, 'period_cut' AS reason, ms FROM cut
    UNION ALL
    SELECT number, CASE reason WHEN 'other_job' THEN 8 ELSE 9 END AS rank, reason, ms FROM held
    UNION ALL
    SELECT number, 10 AS rank, 'missing_sheet' AS reason, ms - leave_ms AS ms FROM free WHERE kind = 'worked'
)

SELECT number, rank::BIGINT AS rank, reason, ms::BIGINT AS ms
FROM offered
WHERE ms > 0
ORDER BY number, rank, reason
