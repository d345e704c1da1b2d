-- texts_named: the notes of the rows named, of lines and of entries.
-- In:  $ids VARCHAR[], as table:batch.row; $upto BIGINT, the last batch that counts
-- Out: text VARCHAR
WITH named AS (
    SELECT unnest($ids::VARCHAR[]) AS id
)

SELECT n.note AS text
FROM stored_note($upto) AS n
SEMI JOIN named AS i ON i.id = 'note:' || n.batch || '.' || n.row
WHERE n.note IS NOT NULL
UNION ALL
SELECT e.note AS text
FROM stored_entry($upto) AS e
SEMI JOIN named AS i ON i.id = 'entry:' || e.batch || '.' || e.row
WHERE e.note IS NOT NULL
ORDER BY text
