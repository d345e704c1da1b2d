-- doubt_spots: the places and days that entries were ever posted to, to find the few that are worth a look.
-- In:  $batch BIGINT, by its entries, null for all; $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; booked_to VARCHAR; day DATE; is_rework BOOLEAN
SELECT w.job, w.booked_to, l.day, w.booked_rework IS NOT NULL AS is_rework
FROM (
    SELECT DISTINCT what, day FROM known_line($upto) WHERE $batch::BIGINT IS NULL OR batch = $batch::BIGINT
) AS l
INNER JOIN stored_what($upto) AS w ON w.number = l.what
WHERE w.job IS NOT NULL AND w.booked_to IS NOT NULL
UNION
SELECT job, booked_to, day, rework IS NOT NULL AS is_rework
FROM stored_posting($upto)
WHERE job IS NOT NULL AND ($batch::BIGINT IS NULL OR entry_batch = $batch::BIGINT)
ORDER BY job, booked_to, day, is_rework
