-- new_notes: the different notes of the lines of a file that are booked, numbered on as they stand in it: sorting the texts takes longer.
-- In:  $last_note_row BIGINT
-- Out: row BIGINT; note VARCHAR
SELECT $last_note_row::BIGINT + row_number() OVER (ORDER BY first_place) AS row, note
FROM (
    SELECT note, min(place) AS first_place
    FROM staged_judged
    WHERE outcome = 'booked' AND note IS NOT NULL
    GROUP BY note
)
ORDER BY row
