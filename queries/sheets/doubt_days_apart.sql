-- doubt_days_apart: whether the days of a batch's entries, or of the files that they are of, may lie far from each other.
-- In:  $batch BIGINT; $far_days BIGINT, a gap of more is far; $upto BIGINT, the last batch that counts
-- Out: is_apart BOOLEAN
-- The days of its lines are those of its files; entries booked later are of files of other batches.
SELECT
    coalesce(max(day) - min(day) > $far_days::BIGINT, false)
    OR EXISTS (SELECT 1 FROM stored_entry($upto) WHERE batch = $batch::BIGINT) AS is_apart
FROM staged_doubt_day
WHERE is_of_batch
ORDER BY is_apart
