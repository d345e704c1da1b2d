-- days_clocked: what the attendance clock has of each day, beside the one row of worked hours in which that day stands.
-- In:  $upto BIGINT, the last batch that counts
-- Out: number BIGINT, of the row; worker_id VARCHAR; day DATE; clocked_ms BIGINT, milliseconds; sheet_ms BIGINT, booked on the day in that row, 0 without a sheet
WITH clocked AS (
    SELECT worker_id, day, sum(ms)::BIGINT AS ms
    FROM current_attendance($upto)
    GROUP BY ALL
),

on_sheets AS (
    SELECT p.worker_id, p.against, p.period_start, p.period_end, p.day, sum(p.ms)::BIGINT AS ms
    FROM staged_pay_placed AS p
    SEMI JOIN clocked AS c ON c.worker_id = p.worker_id AND c.day = p.day
    WHERE p.kind = 'worked' AND NOT p.is_contract
    GROUP BY ALL
),

-- Of rows that share a day, the one in which its sheets stand; without a sheet, the one by which the crew says that the worker is paid.
placed AS (
    SELECT
        r.number,
        c.worker_id,
        c.day,
        c.ms AS clocked_ms,
        coalesce(s.ms, 0) AS sheet_ms
    FROM clocked AS c
    INNER JOIN staged_pay_row AS r ON r.worker_id = c.worker_id AND c.day BETWEEN r.period_start AND r.period_end
    LEFT JOIN on_sheets AS s
        ON s.worker_id = r.worker_id
        AND s.against = r.against
        AND s.period_start = r.period_start
        AND s.period_end = r.period_end
        AND s.day = c.day
    LEFT JOIN staged_pay_crew AS w ON w.worker_id = c.worker_id AND w.day_from <= c.day AND w.day_before > c.day
    WHERE r.kind = 'worked'
    QUALIFY row_number() OVER (
        PARTITION BY c.worker_id, c.day
        ORDER BY s.ms IS NOT NULL DESC,
            r.against = CASE
                WHEN w.employment IN ('agency', 'subcontract') THEN 'supplier'
                WHEN w.contract_ms IS NOT NULL THEN 'contract'
                ELSE 'payroll'
            END DESC,
            coalesce(r.firm = w.firm, false) DESC,
            r.paid_in IS NOT NULL DESC,
            r.period_end - r.period_start,
            r.number
    ) = 1
)

SELECT number, worker_id, day, clocked_ms, sheet_ms
FROM placed
ORDER BY worker_id, day
