-- doubt_finished_near: whether time is booked to a package on a day after one on which some of it may have been measured as done: without, none is finished.
-- In:  $upto BIGINT, the last batch that counts
-- Out: is_any BOOLEAN
SELECT count(*) > 0 AS is_any
FROM staged_doubt_spot AS s
SEMI JOIN known_progress($upto) AS p
    ON p.job = s.job
    AND p.work_package = s.booked_to
    AND s.day > least(p.day, p.finished)
    AND (p.percent = 100 OR p.quantity_done IS NOT NULL OR p.milestone IS NOT NULL OR p.finished IS NOT NULL)
WHERE NOT s.is_rework
ORDER BY is_any
