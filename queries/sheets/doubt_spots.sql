-- doubt_spots: the places and days that entries were ever posted to, with worker and trade, to find the few that are worth a look.
-- In:  $batch BIGINT, by its entries, null for all; $upto BIGINT, the last batch that counts
-- Out: job VARCHAR; booked_to VARCHAR; day DATE; is_rework BOOLEAN; worker_id VARCHAR; trade VARCHAR, as on the sheet
SELECT DISTINCT job, booked_to, day, rework IS NOT NULL AS is_rework, worker_id, trade
FROM known_posting($upto)
WHERE job IS NOT NULL AND ($batch::BIGINT IS NULL OR entry_batch = $batch::BIGINT)
ORDER BY job, booked_to, day, is_rework, worker_id, trade
