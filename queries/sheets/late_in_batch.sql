-- late_in_batch: how many lines a batch booked or reversed on days of closed periods, and the last closed day.
-- In:  $batch BIGINT; $upto BIGINT, the last batch that counts
-- Out: lines BIGINT; closed_to DATE
WITH closed AS (
    SELECT max(closed_to) AS closed_to
    FROM current_closing($upto)
    WHERE sequence IS NOT NULL
)

SELECT count(DISTINCT (e.line_batch, e.line_row)) AS lines, c.closed_to
FROM entry_time($upto) AS e
INNER JOIN closed AS c ON c.closed_to >= e.day
WHERE e.batch = $batch
GROUP BY c.closed_to
ORDER BY c.closed_to
