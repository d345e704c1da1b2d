-- contents_known: the digests of the content that the book has.
-- In:  $upto BIGINT, the last batch that counts
-- Out: sha256 VARCHAR
SELECT sha256
FROM known_content($upto)
WHERE sha256 IS NOT NULL AND data IS NOT NULL
ORDER BY sha256
