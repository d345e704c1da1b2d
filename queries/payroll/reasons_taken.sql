-- reasons_taken: of the reasons offered for each row, by rank, what its difference takes up.
-- In:  none
-- Out: number BIGINT, of the row; rank BIGINT; reason VARCHAR; is_owed BOOLEAN; is_waiting BOOLEAN; ms DECIMAL(38,0), milliseconds, signed as paid less booked, 0 where nothing was left to explain
WITH numbered AS (
    SELECT
        number,
        rank,
        reason,
        is_owed,
        is_waiting,
        sum(ms) OVER (PARTITION BY number ORDER BY rank, reason, is_owed, is_waiting) AS upto_ms,
        ms
    FROM staged_pay_offer
)

SELECT
    n.number,
    n.rank,
    n.reason,
    n.is_owed,
    n.is_waiting,
    ((least(n.upto_ms, abs(r.rest_ms)) - least(n.upto_ms - n.ms, abs(r.rest_ms))) * sign(r.rest_ms))::DECIMAL(38,0) AS ms
FROM numbered AS n
INNER JOIN staged_pay_row AS r ON r.number = n.number
ORDER BY n.number, n.rank, n.reason, n.is_owed, n.is_waiting
