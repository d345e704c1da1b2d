-- claims_there: whether any entry is claimed.
-- In:  $upto BIGINT, the last batch that counts
-- Out: is_there BOOLEAN
SELECT EXISTS (FROM claimed_entry($upto)) AS is_there
ORDER BY is_there
