-- reversals_not_cancelling: reversals that stand whose postings leave something of what they reverse.
-- In:  $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT
WITH reversals AS (
    SELECT batch, row, reverses_batch, reverses_row
    FROM stored_entry($upto)
    WHERE reverses_batch IS NOT NULL
),

standing AS (
    SELECT r.*
    FROM reversals AS r
    ANTI JOIN reversals AS u ON u.reverses_batch = r.batch AND u.reverses_row = r.row
),

both_sides AS (
    SELECT batch, row, batch AS of_batch, row AS of_row
    FROM standing
    UNION ALL
    SELECT batch, row, reverses_batch AS of_batch, reverses_row AS of_row
    FROM standing
),

left_over AS (
    SELECT s.batch, s.row, sum(p.ms) AS ms
    FROM both_sides AS s
    INNER JOIN known_posting($upto) AS p ON p.entry_batch = s.of_batch AND p.entry_row = s.of_row
    GROUP BY s.batch, s.row, p.job, p.booked_to, p.cause, p.rework
)

SELECT batch AS entry_batch, row AS entry_row
FROM left_over
WHERE ms <> 0
ORDER BY entry_batch, entry_row
