-- texts_named: of the rows named what stood in a cell of a file: notes, the names of persons, and what was corrected.
-- In:  $ids VARCHAR[], as table:batch.row; $upto BIGINT, the last batch that counts
-- Out: text VARCHAR
WITH named AS (
    SELECT unnest($ids::VARCHAR[]) AS id
),

cells AS (
    SELECT 'note:' || batch || '.' || row AS id, note AS text
    FROM stored_note($upto)
    UNION ALL
    SELECT 'person_name:' || batch || '.' || row AS id, name AS text
    FROM stored_person_name($upto)
    UNION ALL
    SELECT 'entry:' || batch || '.' || row AS id, note AS text
    FROM stored_entry($upto)
    UNION ALL
    SELECT 'line_correction:' || batch || '.' || row AS id, was AS text
    FROM stored_line_correction($upto)
    WHERE field IN ('note', 'approved_by')
)

SELECT DISTINCT c.text
FROM cells AS c
SEMI JOIN named AS i ON i.id = c.id
WHERE c.text IS NOT NULL
ORDER BY c.text
