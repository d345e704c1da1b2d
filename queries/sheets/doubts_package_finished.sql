-- doubts_package_finished: time booked to a package on a day after all of it was measured as done, rework apart.
-- In:  none
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
SELECT
    e.worker_id,
    e.day,
    [e.entry] AS entries,
    e.entry || ' ' || d.job || ' ' || d.work_package || ' ' || d.finished_on AS about,
    'worker ' || e.worker_id || ' has ' || hours_text(sum(p.ms)::BIGINT) || ' h booked to ' || d.job || ' ' || d.work_package
        || ' on ' || e.day || ', but the package was finished on ' || d.finished_on AS message
FROM staged_doubt_entry AS e
INNER JOIN staged_doubt_place AS p ON p.entry = e.entry
INNER JOIN staged_doubt_finished AS d ON d.job = p.job AND d.work_package = p.booked_to
WHERE p.rework IS NULL AND e.day > d.finished_on
GROUP BY e.entry, e.worker_id, e.day, d.job, d.work_package, d.finished_on
ORDER BY e.day, e.worker_id, about
