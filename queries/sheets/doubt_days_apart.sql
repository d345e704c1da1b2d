-- doubt_days_apart: whether the days of a batch's entries, or of the files that they are of, may lie far from each other.
-- In:  $batch BIGINT; $far_days BIGINT, a gap of more is far; $upto BIGINT, the last batch that counts
-- Out: is_apart BOOLEAN
-- The days of its lines are those of its files; entries booked later are of files of other batches.
-- Of several files one may fill another's gap.
WITH apart AS (
    SELECT day, day - lag(day) OVER (ORDER BY day) AS gap
    FROM (SELECT DISTINCT day FROM staged_doubt_day WHERE is_of_batch)
)

SELECT
    coalesce(
        CASE WHEN (SELECT count(*) FROM known_file($upto) WHERE batch = $batch::BIGINT) > 1
            THEN max(day) - min(day)
            ELSE max(gap)
        END > $far_days::BIGINT,
        false
    )
    OR EXISTS (SELECT 1 FROM stored_entry($upto) WHERE batch = $batch::BIGINT) AS is_apart
FROM apart
ORDER BY is_apart
