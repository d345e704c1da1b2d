-- tags_asked: the entries that stand and are asked for, each with the tag that a person sets.
-- In:  $ids VARCHAR[], as batch.row, null for all; $worker VARCHAR, null for all; $day_from DATE, null for all; $day_to DATE, null for all; $code VARCHAR, empty for lines without one, null for all; $note VARCHAR, that the note contains, folded, null for all; $file VARCHAR, null for all; $place VARCHAR, a place or cause that they are booked to, null for all; $in_job VARCHAR, that they are booked to, null for all; $untagged BOOLEAN, only those with untagged hours; $job VARCHAR; $booked_to VARCHAR; $cause VARCHAR; $of_own_job BOOLEAN; $rework VARCHAR; $reason VARCHAR; $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT; job VARCHAR; booked_to VARCHAR; cause VARCHAR; of_own_job BOOLEAN, in whatever job the entry is; rework VARCHAR; reason VARCHAR
WITH standing AS (
    SELECT e.batch, e.row, e.line_batch, e.line_row
    FROM known_entry($upto) AS e
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = e.batch AND f.row = e.row
    WHERE ($ids::VARCHAR[] IS NULL OR list_contains($ids::VARCHAR[], e.batch || '.' || e.row))
        AND ($worker::VARCHAR IS NULL OR e.worker_id = $worker)
        AND ($day_from::DATE IS NULL OR e.day >= $day_from)
        AND ($day_to::DATE IS NULL OR e.day <= $day_to)
        AND ($code::VARCHAR IS NULL OR coalesce(e.booking_code, '') = $code)
        AND ($note::VARCHAR IS NULL OR contains(word_of(e.note), $note))
),

of_file AS (
    SELECT s.batch, s.row
    FROM standing AS s
    WHERE $file::VARCHAR IS NULL
    UNION ALL
    SELECT s.batch, s.row
    FROM standing AS s
    INNER JOIN known_sheet_line($upto) AS l ON l.batch = s.line_batch AND l.row = s.line_row
    INNER JOIN known_file($upto) AS f ON f.batch = l.file_batch AND f.row = l.file_row
    WHERE f.name = $file
),

booked AS (
    SELECT p.entry_batch, p.entry_row, p.job, p.booked_to, p.cause
    FROM known_posting($upto) AS p
    SEMI JOIN of_file AS o ON o.batch = p.entry_batch AND o.row = p.entry_row
    GROUP BY p.entry_batch, p.entry_row, p.job, p.booked_to, p.cause
    HAVING sum(p.ms) <> 0 OR NOT bool_or(p.ms <> 0)
),

at_place AS (
    SELECT entry_batch, entry_row
    FROM booked
    GROUP BY entry_batch, entry_row
    HAVING ($in_job::VARCHAR IS NULL OR bool_or(job = $in_job))
        AND (NOT $untagged::BOOLEAN OR bool_or(booked_to = 'untagged'))
        AND (
            $place::VARCHAR IS NULL
            OR bool_or(word_of($place) IN (word_of(booked_to), word_of(cause), word_of(job || ' ' || booked_to)))
        )
)

SELECT
    entry_batch,
    entry_row,
    $job::VARCHAR AS job,
    $booked_to::VARCHAR AS booked_to,
    $cause::VARCHAR AS cause,
    $of_own_job::BOOLEAN AS of_own_job,
    $rework::VARCHAR AS rework,
    $reason::VARCHAR AS reason
FROM at_place
ORDER BY entry_batch, entry_row
