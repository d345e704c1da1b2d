-- layout_of_digest: the content of a layout by its digest.
-- In:  $sha256 VARCHAR; $upto BIGINT, the last batch that counts
-- Out: data BLOB
SELECT data
FROM known_content($upto)
WHERE sha256 = $sha256 AND data IS NOT NULL
ORDER BY batch, row
LIMIT 1
