-- notes_to_keep: the notes of new lines.
-- In:  none
-- Out: row BIGINT; note VARCHAR
SELECT row, note
FROM staged_note
ORDER BY row
