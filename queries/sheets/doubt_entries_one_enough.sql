-- doubt_entries_one_enough: one entry of a batch for each day of a job of which one is enough, and all that were moved.
-- In:  $batch BIGINT, whose entry stands for a day; $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT
-- An entry that was never moved stands where it was posted; of the few others the sum says where.
WITH moved AS (
    SELECT DISTINCT entry_batch, entry_row
    FROM stored_posting($upto)
    WHERE entry_batch = $batch::BIGINT AND ms < 0
),

of_days AS (
    SELECT p.entry_batch, p.entry_row, p.job, p.day, p.ms, m.entry_row IS NOT NULL AS is_moved
    FROM known_posting($upto) AS p
    SEMI JOIN (SELECT job, day FROM staged_doubt_candidate WHERE is_one_enough) AS c ON c.job = p.job AND c.day = p.day
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = p.entry_batch AND f.row = p.entry_row
    LEFT JOIN moved AS m ON m.entry_batch = p.entry_batch AND m.entry_row = p.entry_row
    WHERE p.entry_batch = $batch::BIGINT
)

SELECT entry_batch AS batch, min(entry_row) AS row
FROM of_days
WHERE NOT is_moved AND ms <> 0
GROUP BY entry_batch, job, day
UNION
SELECT entry_batch AS batch, entry_row AS row
FROM of_days
WHERE is_moved
GROUP BY entry_batch, entry_row, job, day
HAVING sum(ms) <> 0
ORDER BY batch, row
