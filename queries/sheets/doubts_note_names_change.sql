-- doubts_note_names_change: entries whose note names a change of the job that their time is not booked to; those tagged by hand are left out.
-- In:  $change_jobs VARCHAR[]; $changes VARCHAR[], of these jobs; $change_patterns VARCHAR[], by which a note names each; $upto BIGINT, the last batch that counts
-- Out: worker_id VARCHAR; day DATE; entries VARCHAR[], as batch.row; about VARCHAR, what it is about; message VARCHAR
WITH change AS (
    SELECT
        unnest($change_jobs::VARCHAR[]) AS job,
        unnest($changes::VARCHAR[]) AS change,
        unnest($change_patterns::VARCHAR[]) AS pattern
),

placed AS (
    SELECT entry, job, list(DISTINCT booked_to ORDER BY booked_to) AS places, sum(ms)::BIGINT AS ms
    FROM staged_doubt_place
    WHERE job IS NOT NULL AND booked_to NOT IN ('non_productive', 'untagged')
    GROUP BY entry, job
),

named AS (
    SELECT e.entry, e.batch, e.row, e.worker_id, e.day, p.job, p.places, p.ms, list(c.change ORDER BY c.change) AS changes
    FROM staged_doubt_entry AS e
    INNER JOIN placed AS p ON p.entry = e.entry
    INNER JOIN change AS c ON c.job = p.job AND regexp_matches(e.note, c.pattern, 'i')
    GROUP BY e.entry, e.batch, e.row, e.worker_id, e.day, p.job, p.places, p.ms
),

by_hand AS (
    SELECT k.batch, k.row
    FROM named AS n
    INNER JOIN known_entry($upto) AS k ON k.batch = n.batch AND k.row = n.row
    SEMI JOIN current_hand_tag($upto) AS t ON t.line_batch = k.line_batch AND t.line_row = k.line_row
)

SELECT
    n.worker_id,
    n.day,
    [n.entry] AS entries,
    n.entry || ' ' || n.job || ' ' || array_to_string(n.places, ' ') || ' ' || array_to_string(n.changes, ' ') AS about,
    'worker ' || n.worker_id || ' has ' || hours_text(n.ms) || ' h booked to ' || n.job || ' ' || array_to_string(n.places, ', ')
        || ' on ' || n.day || ', but the note names ' || array_to_string(n.changes, ' and ') AS message
FROM named AS n
ANTI JOIN by_hand AS h ON h.batch = n.batch AND h.row = n.row
WHERE NOT list_has_any(n.changes, n.places)
ORDER BY n.day, n.worker_id, about
