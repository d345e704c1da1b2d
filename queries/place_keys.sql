-- place_keys: each entry with all that decides where it is booked, as far as any rule looks at it.
-- In:  $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT; job_given VARCHAR; booking_code VARCHAR; worker_id VARCHAR; day DATE; note VARCHAR; trade VARCHAR
WITH looked_at AS (
    SELECT
        coalesce(bool_or(worker_id IS NOT NULL), false) AS worker,
        coalesce(bool_or(day_from IS NOT NULL OR day_to IS NOT NULL), false) AS day,
        coalesce(bool_or(note_contains IS NOT NULL OR note_matches IS NOT NULL), false) AS note,
        coalesce(bool_or(trade IS NOT NULL), false) AS trade
    FROM current_rule($upto)
),

worked AS (
    SELECT e.batch, e.row, c.trade
    FROM known_entry($upto) AS e
    INNER JOIN current_crew($upto) AS c ON c.worker_id = e.worker_id
    WHERE (SELECT trade FROM looked_at)
    QUALIFY row_number() OVER (
        PARTITION BY e.batch, e.row
        ORDER BY c.active_from <= e.day DESC,
            CASE WHEN c.active_from <= e.day THEN c.active_from END DESC,
            c.active_from
    ) = 1
)

SELECT
    e.batch AS entry_batch,
    e.row AS entry_row,
    e.job_given,
    e.booking_code,
    CASE WHEN l.worker THEN e.worker_id END AS worker_id,
    CASE WHEN l.day THEN e.day END AS day,
    CASE WHEN l.note THEN e.note END AS note,
    CASE WHEN l.trade THEN coalesce(e.trade, w.trade) END AS trade
FROM known_entry($upto) AS e
CROSS JOIN looked_at AS l
LEFT JOIN worked AS w ON w.batch = e.batch AND w.row = e.row
ORDER BY e.batch, e.row
