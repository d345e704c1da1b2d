-- postings_reversing: the negatives of the standing postings of what new reversals reverse.
-- In:  $batch BIGINT; $after BIGINT, the last entry row before them; $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT; worker_id VARCHAR; day DATE; trade VARCHAR; pay_class VARCHAR; job VARCHAR; booked_to VARCHAR; cause VARCHAR; rework VARCHAR; ms BIGINT, milliseconds; reason VARCHAR
WITH reversals AS (
    SELECT *
    FROM stored_entry($upto)
    WHERE batch = $batch AND row > $after AND reverses_batch IS NOT NULL
),

standing AS (
    SELECT
        r.row AS entry_row,
        p.job,
        p.booked_to,
        p.cause,
        p.rework,
        sum(p.ms)::BIGINT AS ms,
        max((p.batch, p.row)) AS newest
    FROM reversals AS r
    INNER JOIN known_posting($upto) AS p
        ON p.entry_batch = r.reverses_batch AND p.entry_row = r.reverses_row
    GROUP BY r.row, p.job, p.booked_to, p.cause, p.rework
)

-- An entry of no time stands where it was posted last.
SELECT
    r.batch AS entry_batch,
    r.row AS entry_row,
    r.worker_id,
    r.day,
    r.trade,
    r.pay_class,
    s.job,
    s.booked_to,
    s.cause,
    s.rework,
    -s.ms AS ms,
    CASE WHEN r.ms > 0 THEN 'reversal_undone' ELSE 'reversed' END AS reason
FROM standing AS s
INNER JOIN reversals AS r ON r.row = s.entry_row
QUALIFY s.ms <> 0 OR (r.ms = 0 AND row_number() OVER (PARTITION BY s.entry_row ORDER BY s.newest DESC) = 1)
ORDER BY entry_row, s.job, s.booked_to
