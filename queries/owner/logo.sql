-- logo: the picture on the yard's letters.
-- In:  $upto BIGINT, the last batch that counts
-- Out: sha256 VARCHAR; media_type VARCHAR; data BLOB
SELECT sha256, media_type, data
FROM owner_logo($upto)
ORDER BY sha256
