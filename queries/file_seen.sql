-- file_seen: whether a file of sheets with the same bytes and the same job given was loaded before.
-- In:  $sha256 VARCHAR; $job VARCHAR, given for lines that name none; $upto BIGINT, the last batch that counts
-- Out: seen BOOLEAN
SELECT count(*) > 0 AS seen
FROM known_file($upto)
WHERE sha256 = $sha256 AND kind = 'sheets' AND default_job IS NOT DISTINCT FROM $job
ORDER BY seen
