-- postings_not_whole: entries whose postings do not sum to their time, or stand with the wrong sign.
-- In:  $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT
WITH placed AS (
    SELECT entry_batch, entry_row, job, booked_to, cause, rework, sum(ms) AS ms
    FROM known_posting($upto)
    GROUP BY entry_batch, entry_row, job, booked_to, cause, rework
),

summed AS (
    SELECT entry_batch, entry_row, sum(ms) AS ms, min(ms) AS least, max(ms) AS most
    FROM placed
    GROUP BY entry_batch, entry_row
)

SELECT
    coalesce(e.batch, s.entry_batch) AS entry_batch,
    coalesce(e.row, s.entry_row) AS entry_row
FROM known_entry($upto) AS e
FULL JOIN summed AS s ON s.entry_batch = e.batch AND s.entry_row = e.row
WHERE e.ms IS DISTINCT FROM s.ms
    OR (e.ms >= 0 AND s.least < 0)
    OR (e.ms <= 0 AND s.most > 0)
ORDER BY entry_batch, entry_row
