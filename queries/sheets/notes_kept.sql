-- notes_kept: the notes of the book's entries, each once a batch as it is kept, or with the entry that it stands in.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; note_row BIGINT, null of an entry's own; entry_row BIGINT; note VARCHAR
SELECT batch, row AS note_row, NULL::BIGINT AS entry_row, note
FROM known_note($upto)
UNION ALL
SELECT batch, NULL::BIGINT AS note_row, row AS entry_row, CASE WHEN note IS NULL AND note_hash IS NOT NULL THEN 'erased' ELSE note END AS note
FROM stored_entry($upto)
WHERE reverses_batch IS NULL
ORDER BY batch, note_row, entry_row
