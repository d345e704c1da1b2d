-- tags_without_job: entries tagged within their own job that are in none where one is needed, or in several.
-- In:  none
-- Out: entry VARCHAR, as batch.row; jobs BIGINT
SELECT entry_batch || '.' || entry_row AS entry, CASE WHEN job IS NULL THEN 0 ELSE jobs END AS jobs
FROM staged_tag
WHERE of_own_job AND (jobs > 1 OR (job IS NULL AND booked_to <> 'UNTAGGED'))
ORDER BY entry_batch, entry_row
