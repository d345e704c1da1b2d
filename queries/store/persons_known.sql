-- persons_known: the handles of names that are known and not erased.
-- In:  $names VARCHAR[], composed; $upto BIGINT, the last batch that counts
-- Out: name VARCHAR; handle VARCHAR
SELECT name, handle
FROM stored_person_name($upto)
WHERE list_contains($names::VARCHAR[], name)
ORDER BY batch, row
