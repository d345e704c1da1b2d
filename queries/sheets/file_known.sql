-- file_known: whether a file of sheets with the same bytes was ever loaded.
-- In:  $sha256 VARCHAR; $upto BIGINT, the last batch that counts
-- Out: is_known BOOLEAN
SELECT count(*) > 0 AS is_known
FROM stored_file($upto)
WHERE sha256 = $sha256 AND kind = 'sheets'
ORDER BY is_known
