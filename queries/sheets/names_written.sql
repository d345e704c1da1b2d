-- names_written: the names by which staged texts of lines name their workers, without a worker_id.
-- In:  none
-- Out: text VARCHAR, as written
SELECT DISTINCT worker_name AS text
FROM staged_raw
WHERE bare(worker_id) IS NULL AND bare(worker_name) IS NOT NULL
ORDER BY text
