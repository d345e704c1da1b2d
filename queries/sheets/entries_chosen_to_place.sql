-- entries_chosen_to_place: the entries chosen, each with all that decides where it is booked, as far as any rule looks at it.
-- In:  $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT; job_given VARCHAR; booking_code VARCHAR; by_worker VARCHAR; by_day DATE; by_note VARCHAR; by_trade VARCHAR; worker_id VARCHAR; day DATE; trade VARCHAR; pay_class VARCHAR; rework VARCHAR; ms BIGINT, milliseconds
WITH looked_at AS (
    SELECT *
    FROM rules_look_at($upto)
),

-- As known_entry has them, chosen before their notes are looked up.
standing AS (
    SELECT
        l.batch,
        l.row,
        l.worker_id,
        l.day,
        l.ms,
        w.booking_code,
        w.job_given,
        n.note,
        w.pay_class,
        w.trade,
        w.rework
    FROM known_line($upto) AS l
    SEMI JOIN staged_entry_chosen AS c ON c.entry_batch = l.batch AND c.entry_row = l.row
    INNER JOIN stored_what($upto) AS w ON w.number = l.what
    LEFT JOIN known_note($upto) AS n ON n.batch = l.batch AND n.row = l.note
    WHERE w.held IS NULL
    UNION ALL
    SELECT
        e.batch,
        e.row,
        e.worker_id,
        e.day,
        e.ms,
        e.booking_code,
        e.job_given,
        CASE WHEN e.note IS NULL AND e.note_hash IS NOT NULL THEN 'erased' ELSE e.note END AS note,
        e.pay_class,
        e.trade,
        e.rework
    FROM stored_entry($upto) AS e
    SEMI JOIN staged_entry_chosen AS c ON c.entry_batch = e.batch AND c.entry_row = e.row
),

worked AS (
    SELECT e.batch, e.row, c.trade
    FROM standing AS e
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
    CASE WHEN l.worker THEN e.worker_id END AS by_worker,
    CASE WHEN l.day THEN e.day END AS by_day,
    CASE WHEN l.note THEN e.note END AS by_note,
    CASE WHEN l.trade THEN coalesce(e.trade, w.trade) END AS by_trade,
    e.worker_id,
    e.day,
    e.trade,
    e.pay_class,
    e.rework,
    e.ms
FROM standing AS e
CROSS JOIN looked_at AS l
LEFT JOIN worked AS w ON w.batch = e.batch AND w.row = e.row
ORDER BY e.batch, e.row
