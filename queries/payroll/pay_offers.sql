-- pay_offers: reasons that the book shows for what of a difference no note explains, by rank, each up to so much.
-- In:  $tolerance_ms BIGINT, milliseconds that rounding explains; $week_start BIGINT, 0 for Monday; $day_ms BIGINT, of a full day; $classes VARCHAR[]; $kinds VARCHAR[], the kind of each pay class; $reasons VARCHAR[], pay classes that are reasons themselves; $upto BIGINT, the last batch that counts
-- Out: number BIGINT, of the row; rank BIGINT; reason VARCHAR; ms BIGINT, milliseconds, above 0, in the direction of the rest; is_owed BOOLEAN, named and not settled: booked and passed over by pay, or paid without a sheet; is_waiting BOOLEAN, booked and not paid yet: the next pay may have it
WITH rest AS (
    SELECT *, sign(rest_ms) AS side
    FROM staged_pay_row
    WHERE rest_ms <> 0
),

-- Of all kinds together: a day of leave is no day without a sheet, and on one that the clock has nobody was away.
days AS (
    SELECT worker_id, period_start, period_end, count(DISTINCT day) AS days
    FROM (
        SELECT p.worker_id, p.period_start, p.period_end, p.day
        FROM staged_pay_placed AS p
        SEMI JOIN rest AS r
            ON r.worker_id = p.worker_id AND r.period_start = p.period_start AND r.period_end = p.period_end AND r.side > 0
        WHERE p.ms > 0 AND NOT p.is_contract
        UNION ALL
        SELECT r.worker_id, r.period_start, r.period_end, c.day
        FROM staged_pay_clocked AS c
        INNER JOIN staged_pay_row AS r ON r.number = c.number
    )
    WHERE isodow(day) <= 5
    GROUP BY ALL
),

-- What is booked in the weeks that lie in the period before, or after, too.
edges AS (
    SELECT
        r.number,
        coalesce(sum(p.ms) FILTER (
            WHERE week_begun(r.period_start, $week_start::BIGINT) < r.period_start
                AND p.day < week_begun(r.period_start, $week_start::BIGINT) + 7
        ), 0)::BIGINT AS first_ms,
        coalesce(sum(p.ms) FILTER (
            WHERE week_begun(r.period_end + 1, $week_start::BIGINT) <= r.period_end
                AND p.day >= week_begun(r.period_end + 1, $week_start::BIGINT)
        ), 0)::BIGINT AS last_ms
    FROM rest AS r
    INNER JOIN staged_pay_placed AS p
        ON p.worker_id = r.worker_id
        AND p.against = r.against
        AND p.kind = r.kind
        AND p.period_start = r.period_start
        AND p.period_end = r.period_end
    WHERE NOT p.is_contract
    GROUP BY r.number
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
    SELECT worker_id, period_start, period_end, kind, class_reason AS reason, -sum(ms) AS ms
    FROM staged_pay_placed
    WHERE class_reason IS NOT NULL AND against = 'payroll'
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
    WHERE r.against = 'payroll' AND (r.paid_in IS NOT NULL OR c.reason = 'banked_hours')
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
            - weekdays_by(greatest(r.period_start, coalesce(a.day_from, r.period_start))) - coalesce(d.days, 0),
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
    LEFT JOIN days AS d
        ON d.worker_id = r.worker_id AND d.period_start = r.period_start AND d.period_end = r.period_end
    WHERE r.worker_id IS NOT NULL AND r.side > 0 AND r.kind IN ('worked', 'paid_not_worked')
),

ordered AS (
    SELECT
        number,
        period_start,
        period_end,
        rest_ms,
        lead(number) OVER following AS next_number,
        lead(period_start) OVER following AS next_start,
        lead(rest_ms) OVER following AS next_rest_ms,
        lag(rest_ms) OVER following AS before_rest_ms,
        lag(late_ms) OVER following AS before_late_ms,
        lag(period_end) OVER following AS before_end
    FROM staged_pay_row
    WHERE paid_in IS NOT NULL AND worker_id IS NOT NULL AND against <> 'contract'
    WINDOW following AS (PARTITION BY worker_id, against, kind ORDER BY period_end, period_start)
),

-- Where a week lies in two periods: what the one lacks of it and the other has too much.
cut AS (
    SELECT
        o.number,
        o.next_number,
        least(
            abs(o.rest_ms) - CASE
                WHEN o.before_end + 1 = o.period_start AND sign(o.before_rest_ms) * sign(o.rest_ms) < 0
                    THEN least(abs(o.rest_ms), abs(o.before_rest_ms))
                ELSE 0
            END,
            abs(o.next_rest_ms),
            CASE WHEN o.rest_ms < 0 THEN e.last_ms ELSE n.first_ms END
        ) AS ms
    FROM ordered AS o
    LEFT JOIN edges AS e ON e.number = o.number
    LEFT JOIN edges AS n ON n.number = o.next_number
    WHERE o.next_start = o.period_end + 1 AND sign(o.rest_ms) * sign(o.next_rest_ms) < 0
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

-- Of days on which the clock has times: what it has and sheets have not, where there is a sheet; all else is open.
clock_apart AS (
    SELECT
        r.number,
        r.side < 0 OR c.sheet_ms = 0 AS is_owed,
        sum(abs(c.clocked_ms - c.sheet_ms)) AS ms
    FROM rest AS r
    INNER JOIN staged_pay_clocked AS c ON c.number = r.number
    WHERE r.against <> 'contract' AND sign(c.clocked_ms - c.sheet_ms) = r.side
    GROUP BY ALL
),

-- Where nothing was paid, what waits for the next pay; of a late sheet, what the next pay made up, or may.
waiting AS (
    SELECT
        r.number,
        3 AS rank,
        'unpaid' AS reason,
        abs(r.rest_ms) AS ms,
        greatest(r.booked_ms - r.due_ms, 0) AS waiting_ms,
        false AS is_made_up
    FROM rest AS r
    WHERE r.paid_in IS NULL AND r.against <> 'contract' AND r.side < 0
    UNION ALL
    SELECT
        r.number,
        6 AS rank,
        'late_sheet' AS reason,
        r.late_ms AS ms,
        CASE WHEN r.is_followed THEN greatest(coalesce(o.next_rest_ms, 0), 0) ELSE r.late_ms END AS waiting_ms,
        r.is_followed AS is_made_up
    FROM rest AS r
    LEFT JOIN ordered AS o ON o.number = r.number
    WHERE r.late_ms > 0 AND r.against <> 'contract' AND r.side < 0
),

offered AS (
    SELECT number, 1 AS rank, 'rounding' AS reason, abs(rest_ms) AS ms, false AS is_owed
    FROM rest
    WHERE abs(rest_ms) <= $tolerance_ms::BIGINT
    UNION ALL
    SELECT number, 2 AS rank, reason, ms, false AS is_owed FROM by_class
    UNION ALL
    SELECT number, rank, reason, ms - waiting_ms AS ms, true AS is_owed FROM waiting
    UNION ALL
    SELECT number, 4 AS rank, reason, ms, false AS is_owed FROM across
    UNION ALL
    SELECT number, 5 AS rank, 'leave' AS reason, ms, false AS is_owed FROM free WHERE kind = 'paid_not_worked'
    UNION ALL
    SELECT
        number,
        6 AS rank,
        'late_sheet' AS reason,
        least(before_late_ms, greatest(-before_rest_ms, 0)) AS ms,
        false AS is_owed
    FROM ordered
    WHERE rest_ms > 0
    UNION ALL
    SELECT number, 7 AS rank, 'period_cut' AS reason, ms, false AS is_owed FROM cut
    UNION ALL
    SELECT next_number AS number, 7 AS rank, 'period_cut' AS reason, ms, false AS is_owed FROM cut
    UNION ALL
    SELECT
        number,
        CASE reason WHEN 'other_job' THEN 8 ELSE 9 END AS rank,
        reason,
        ms,
        reason = 'missing_sheet' AS is_owed
    FROM held
    UNION ALL
    SELECT number, 10 AS rank, 'attendance' AS reason, ms, is_owed FROM clock_apart
    UNION ALL
    SELECT number, 11 AS rank, 'missing_sheet' AS reason, ms - leave_ms AS ms, true AS is_owed
    FROM free
    WHERE kind = 'worked'
    UNION ALL BY NAME
    SELECT number, rank, reason, least(ms, waiting_ms) AS ms, false AS is_owed, NOT is_made_up AS is_waiting
    FROM waiting
)

SELECT
    number,
    rank::BIGINT AS rank,
    reason,
    ms::BIGINT AS ms,
    is_owed,
    coalesce(is_waiting, false) AS is_waiting
FROM offered
WHERE ms > 0
ORDER BY number, rank, reason, is_owed, is_waiting
