-- entries_ruled: the entries that stand and that some rules fit, or fitted before.
-- In:  $rules VARCHAR[]; $before BIGINT, the last batch before they changed; $closed BOOLEAN, also those of closed periods, and those claimed; $weeks DATE[], their first days, null for all; $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT
WITH versions AS (
    SELECT DISTINCT booking_code, note_contains, note_matches, worker_id, day_from, day_to
    FROM current_rule($before)
    WHERE rule IN (SELECT unnest($rules::VARCHAR[]))
    UNION
    SELECT DISTINCT booking_code, note_contains, note_matches, worker_id, day_from, day_to
    FROM current_rule($upto)
    WHERE rule IN (SELECT unnest($rules::VARCHAR[]))
),

days AS (
    SELECT
        booking_code,
        note_contains,
        note_matches,
        note_contains IS NOT NULL OR note_matches IS NOT NULL AS has_text,
        worker_id,
        coalesce(day_from, '-infinity'::DATE) AS day_from,
        coalesce(day_to, 'infinity'::DATE) AS day_to
    FROM versions
),

-- Each rule is looked for by one of its conditions and its days: more entries may be found, none is missed.
found AS (
    SELECT e.batch, e.row, e.day
    FROM entry_time($upto) AS e
    INNER JOIN days AS r ON r.worker_id = e.worker_id AND e.day BETWEEN r.day_from AND r.day_to
    WHERE r.booking_code IS NULL OR r.booking_code = e.booking_code
    UNION ALL
    SELECT e.batch, e.row, e.day
    FROM entry_time($upto) AS e
    INNER JOIN days AS r ON r.booking_code = e.booking_code AND e.day BETWEEN r.day_from AND r.day_to
    WHERE r.worker_id IS NULL
    UNION ALL
    SELECT l.batch, l.row, l.day
    FROM known_line($upto) AS l
    INNER JOIN staged_note_matched AS n ON n.batch = l.batch AND n.note_row = l.note
    UNION ALL
    SELECT e.batch, e.row, e.day
    FROM stored_entry($upto) AS e
    INNER JOIN staged_note_matched AS n ON n.batch = e.batch AND n.entry_row = e.row
    UNION ALL
    SELECT e.batch, e.row, e.day
    FROM entry_time($upto) AS e
    SEMI JOIN days AS r ON e.day BETWEEN r.day_from AND r.day_to AND r.worker_id IS NULL AND r.booking_code IS NULL AND NOT r.has_text
)

SELECT DISTINCT o.batch AS entry_batch, o.row AS entry_row
FROM found AS o
CROSS JOIN first_weekday($upto) AS w
ANTI JOIN fixed_entry($upto) AS f ON f.batch = o.batch AND f.row = o.row
ANTI JOIN current_closing($upto) AS c ON NOT $closed::BOOLEAN AND c.closed_to >= o.day AND c.sequence >= o.batch
ANTI JOIN claimed_entry($upto) AS k ON NOT $closed::BOOLEAN AND k.batch = o.batch AND k.row = o.row
WHERE $weeks::DATE[] IS NULL OR list_contains($weeks::DATE[], week_begun(o.day, w.first))
ORDER BY entry_batch, entry_row
