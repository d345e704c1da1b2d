-- texts_alike: texts of what is left to tag, each with a note that is tagged, a title or a code that is like it.
-- In:  $kinds VARCHAR[]; $texts VARCHAR[]; $others VARCHAR[]; $jobs VARCHAR[]; $places VARCHAR[]; $points BIGINT[]
-- Out: kind VARCHAR, note, title or code; text VARCHAR; other VARCHAR, the note; job VARCHAR; booked_to VARCHAR; points BIGINT, of 100
SELECT
    unnest($kinds::VARCHAR[]) AS kind,
    unnest($texts::VARCHAR[]) AS text,
    unnest($others::VARCHAR[]) AS other,
    unnest($jobs::VARCHAR[]) AS job,
    unnest($places::VARCHAR[]) AS booked_to,
    unnest($points::BIGINT[]) AS points
ORDER BY kind, text, other, job, booked_to
