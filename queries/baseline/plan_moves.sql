-- plan_moves: what an approval and those after it moved in the plan of a change, by trade and day.
-- In:  $job VARCHAR; $part VARCHAR, the change's code; $upto BIGINT, the last batch that counts
-- Out: trade VARCHAR; source VARCHAR; reference VARCHAR; counts_from DATE; first_place BIGINT, of the source in the recorded order; day DATE; ms DECIMAL(38,0), milliseconds
WITH placed AS (
    SELECT
        trade,
        source,
        reference,
        counts_from,
        day,
        ms,
        min(place) OVER moves AS first_place,
        min((batch, row)) OVER moves AS first_row
    FROM known_plan_posting($upto)
    WHERE job = $job AND part = $part
    WINDOW moves AS (PARTITION BY trade, source, reference, counts_from)
)

SELECT
    trade,
    source,
    reference,
    counts_from,
    first_place,
    day,
    sum(ms)::DECIMAL(38,0) AS ms
FROM placed AS p
GROUP BY trade, source, reference, counts_from, first_place, first_row, day
HAVING sum(ms) <> 0
ORDER BY trade, source <> 'approval', first_place, first_row, day
