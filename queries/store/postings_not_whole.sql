-- postings_not_whole: entries whose postings do not sum to their time, or stand with the wrong sign.
-- In:  $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT
WITH asked AS (
    -- A line that is booked to one place and was never moved is whole as it is: its posting is itself.
    SELECT entry_batch AS batch, entry_row AS row
    FROM stored_posting($upto)
    UNION
    SELECT batch, row
    FROM stored_entry($upto)
    UNION
    SELECT l.batch, l.row
    FROM known_line($upto) AS l
    SEMI JOIN (SELECT number FROM stored_what($upto) WHERE held IS NULL AND booked_to IS NULL) AS w ON w.number = l.what
),

placed AS (
    SELECT p.entry_batch, p.entry_row, p.job, p.booked_to, p.cause, p.rework, sum(p.ms) AS ms
    FROM known_posting($upto) AS p
    SEMI JOIN asked AS a ON a.batch = p.entry_batch AND a.row = p.entry_row
    GROUP BY p.entry_batch, p.entry_row, p.job, p.booked_to, p.cause, p.rework
),

summed AS (
    SELECT entry_batch, entry_row, sum(ms) AS ms, min(ms) AS least, max(ms) AS most
    FROM placed
    GROUP BY entry_batch, entry_row
),

entries AS (
    SELECT e.batch, e.row, e.ms
    FROM entry_time($upto) AS e
    SEMI JOIN asked AS a ON a.batch = e.batch AND a.row = e.row
)

SELECT
    coalesce(e.batch, s.entry_batch) AS entry_batch,
    coalesce(e.row, s.entry_row) AS entry_row
FROM entries AS e
FULL JOIN summed AS s ON s.entry_batch = e.batch AND s.entry_row = e.row
WHERE e.ms IS DISTINCT FROM s.ms
    OR (e.ms >= 0 AND s.least < 0)
    OR (e.ms <= 0 AND s.most > 0)
ORDER BY entry_batch, entry_row
