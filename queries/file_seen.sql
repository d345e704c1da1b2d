-- file_seen: whether a file of sheets with the same bytes was loaded before by the same layout.
-- In:  $sha256 VARCHAR; $name VARCHAR, null where it decides nothing; $layout VARCHAR; $upto BIGINT, the last batch that counts
-- Out: seen BOOLEAN
SELECT count(*) > 0 AS seen
FROM known_file($upto)
WHERE sha256 = $sha256
    AND kind = 'sheets'
    AND coalesce(name = $name::VARCHAR, true)
    AND layout IS NOT DISTINCT FROM $layout
ORDER BY seen
