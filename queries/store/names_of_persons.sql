-- names_of_persons: the names of persons that stand in the rows named.
-- In:  $ids VARCHAR[], as table:batch.row; $upto BIGINT, the last batch that counts
-- Out: id VARCHAR; name VARCHAR
WITH named AS (
    SELECT 'person_name:' || batch || '.' || row AS id, name, batch, row
    FROM stored_person_name($upto)
)

SELECT id, name
FROM named
WHERE name IS NOT NULL AND list_contains($ids::VARCHAR[], id)
ORDER BY batch, row
