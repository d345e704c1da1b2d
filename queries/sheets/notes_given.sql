-- notes_given: the different notes of the lines of a file that are booked, numbered on.
-- In:  $last_note_row BIGINT
-- Out: row BIGINT; note VARCHAR
SELECT $last_note_row::BIGINT + row_number() OVER (ORDER BY note) AS row, note
FROM (
    SELECT DISTINCT note
    FROM staged_judged
    WHERE outcome = 'booked' AND note IS NOT NULL
)
ORDER BY row
