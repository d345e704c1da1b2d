-- doubts_tags_disagree: entries of the same note that are tagged by hand to different places of a job.
-- In:  $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
WITH tagged AS (
    SELECT e.entry, e.batch, e.row, e.worker_id, e.day, e.note, t.job, concat_ws(' ', t.job, t.booked_to, t.cause) AS place
    FROM staged_doubt_entry AS e
    INNER JOIN known_entry($upto) AS k ON k.batch = e.batch AND k.row = e.row
    INNER JOIN current_hand_tag($upto) AS t ON t.line_batch = k.line_batch AND t.line_row = k.line_row
    WHERE e.note <> 'erased'
),

by_place AS (
    SELECT
        job,
        word_of(note) AS note_folded,
        place,
        any_value(note) AS note,
        count(*) AS entries,
        list(entry ORDER BY batch, row) AS named,
        arg_max(worker_id, (batch, row)) AS worker_id,
        max(day) AS day
    FROM tagged
    GROUP BY job, note_folded, place
)

SELECT
    arg_max(worker_id, day) AS worker_id,
    max(day) AS day,
    flatten(list(named ORDER BY place)) AS entries,
    string_agg(place || ' ' || array_to_string(named, ' '), ' ' ORDER BY place) AS about,
    'the note "' || any_value(note) || '" is tagged by hand to '
        || string_agg(place || ' (' || CASE entries WHEN 1 THEN '1 entry' ELSE entries || ' entries' END || ')', ' and to ' ORDER BY place)
        AS message
FROM by_place
GROUP BY job, note_folded
HAVING count(*) > 1
ORDER BY day, worker_id, about
