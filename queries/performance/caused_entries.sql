-- caused_entries: the entries of a job that a cause took time of in some days, and whether all of each is of it.
-- In:  $job VARCHAR; $cause VARCHAR; $day_from DATE, null for all; $day_to DATE, null for all; $upto BIGINT, the last batch that counts
-- Out: entry VARCHAR, as batch.row; is_whole BOOLEAN
WITH caused AS (
    SELECT entry_batch, entry_row, sum(ms) AS ms
    FROM caused_time($upto)
    WHERE job = $job
        AND cause = $cause
        AND ($day_from::DATE IS NULL OR day >= $day_from::DATE)
        AND ($day_to::DATE IS NULL OR day <= $day_to::DATE)
    GROUP BY entry_batch, entry_row
)

SELECT c.entry_batch || '.' || c.entry_row AS entry, c.ms = e.ms AS is_whole
FROM caused AS c
INNER JOIN entry_time($upto) AS e ON e.batch = c.entry_batch AND e.row = c.entry_row
ORDER BY c.entry_batch, c.entry_row
