-- whats_split: whether rules split the hours of any new line of a batch over several places.
-- In:  $batch BIGINT; $upto BIGINT, the last batch that counts
-- Out: is_split BOOLEAN
SELECT count(*) > 0 AS is_split
FROM stored_what($upto)
WHERE batch = $batch AND held IS NULL AND booked_to IS NULL
ORDER BY is_split
