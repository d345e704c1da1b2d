-- claim_postings: what a claim takes up of the time of each entry, less what the claims before it took up.
-- In:  $job VARCHAR; $document VARCHAR; $status_date DATE, inclusive; $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT; job VARCHAR; booked_to VARCHAR, a change or a package; document VARCHAR; position BIGINT, of the line, null where time is given back; ms BIGINT, milliseconds, signed
WITH booked AS (
    SELECT
        p.entry_batch, p.entry_row, p.booked_to, p.worker_id, p.day, p.trade,
        sum(p.ms)::BIGINT AS ms, min(p.batch) AS since
    FROM known_posting($upto) AS p
    ANTI JOIN fixed_entry($upto) AS f ON f.batch = p.entry_batch AND f.row = p.entry_row
    WHERE p.job = $job
        AND p.day <= $status_date
        AND p.rework IS NULL
        AND p.booked_to IN (
            SELECT booked_to FROM staged_claimed_cell
            UNION ALL
            SELECT booked_to FROM staged_claimed_whole
        )
    GROUP BY ALL
    HAVING sum(p.ms) > 0
),

-- Of each worker the trade in the crew on the day worked, where the entry names none.
worked AS (
    SELECT b.* REPLACE (coalesce(b.trade, c.trade) AS trade)
    FROM booked AS b
    LEFT JOIN current_crew($upto) AS c ON c.worker_id = b.worker_id
    QUALIFY row_number() OVER (
        PARTITION BY b.entry_batch, b.entry_row, b.booked_to, b.trade
        ORDER BY
            c.active_from <= b.day DESC,
            CASE WHEN c.active_from <= b.day THEN c.active_from END DESC,
            c.active_from
    ) = 1
),

-- Entries and lines of a worker's day in a trade, each as a stretch of one after the other.
entry_stretch AS (
    SELECT
        *,
        sum(ms) OVER (
            PARTITION BY booked_to, worker_id, day, trade
            ORDER BY since, entry_batch, entry_row
        ) AS ends
    FROM worked
),

line_stretch AS (
    SELECT
        *,
        sum(ms) OVER (PARTITION BY booked_to, worker_id, day, trade ORDER BY position) AS ends
    FROM staged_claimed_cell
),

taken AS (
    SELECT
        e.entry_batch, e.entry_row, e.booked_to, l.position,
        least(e.ends, l.ends) - greatest(e.ends - e.ms, l.ends - l.ms) AS ms
    FROM entry_stretch AS e
    INNER JOIN line_stretch AS l
        ON l.booked_to = e.booked_to
        AND l.worker_id = e.worker_id
        AND l.day = e.day
        AND l.trade IS NOT DISTINCT FROM e.trade
        AND l.ends > e.ends - e.ms
        AND e.ends > l.ends - l.ms
    UNION ALL
    SELECT w.entry_batch, w.entry_row, w.booked_to, o.position, w.ms
    FROM worked AS w
    INNER JOIN staged_claimed_whole AS o ON o.booked_to = w.booked_to
),

-- Added as an entry may name its trade in one posting and leave it out in another.
target AS (
    SELECT entry_batch, entry_row, booked_to, position, sum(ms)::BIGINT AS ms
    FROM taken
    GROUP BY entry_batch, entry_row, booked_to, position
),

before AS (
    SELECT entry_batch, entry_row, booked_to, sum(ms)::BIGINT AS ms
    FROM known_claim_posting($upto)
    WHERE job = $job
    GROUP BY entry_batch, entry_row, booked_to
    HAVING sum(ms) <> 0
),

-- What was claimed before counts for the first lines of an entry; what is more than all is given back.
more AS (
    SELECT
        t.entry_batch, t.entry_row, t.booked_to, t.position,
        greatest(
            0,
            least(t.ms, sum(t.ms) OVER up_to_this - coalesce(b.ms, 0))
        )::BIGINT AS ms
    FROM target AS t
    LEFT JOIN before AS b USING (entry_batch, entry_row, booked_to)
    WINDOW up_to_this AS (
        PARTITION BY t.entry_batch, t.entry_row, t.booked_to ORDER BY t.position
    )
),

less AS (
    SELECT
        b.entry_batch, b.entry_row, b.booked_to, NULL::BIGINT AS position,
        (coalesce(sum(t.ms), 0) - b.ms)::BIGINT AS ms
    FROM before AS b
    LEFT JOIN target AS t USING (entry_batch, entry_row, booked_to)
    GROUP BY b.entry_batch, b.entry_row, b.booked_to, b.ms
    HAVING coalesce(sum(t.ms), 0) < b.ms
)

SELECT
    entry_batch,
    entry_row,
    $job::VARCHAR AS job,
    booked_to,
    $document::VARCHAR AS document,
    position,
    ms
FROM (FROM more WHERE ms > 0 UNION ALL FROM less)
ORDER BY entry_batch, entry_row, booked_to, position
