-- notes_to_place: the different notes of what is to be placed, where any rule looks at notes.
-- In:  none
-- Out: note VARCHAR
SELECT DISTINCT by_note AS note
FROM staged_entry_to_place
WHERE by_note IS NOT NULL
ORDER BY note
