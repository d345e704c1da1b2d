-- reversals_not_whole: reversals that are not the negative of what they reverse, or stand twice.
-- In:  $upto BIGINT, the last batch that counts
-- Out: entry_batch BIGINT; entry_row BIGINT
WITH reversals AS (
    SELECT *
    FROM stored_entry($upto)
    WHERE reverses_batch IS NOT NULL OR reverses_row IS NOT NULL
),

standing AS (
    SELECT r.batch, r.row, count(*) OVER (PARTITION BY r.reverses_batch, r.reverses_row) AS times
    FROM reversals AS r
    ANTI JOIN reversals AS u ON u.reverses_batch = r.batch AND u.reverses_row = r.row
),

wrong AS (
    SELECT r.batch, r.row
    FROM reversals AS r
    LEFT JOIN known_entry($upto) AS e ON e.batch = r.reverses_batch AND e.row = r.reverses_row
    LEFT JOIN reversals AS b ON b.batch = e.reverses_batch AND b.row = e.reverses_row
    LEFT JOIN known_reversal($upto) AS t ON t.entry_batch = r.batch AND t.entry_row = r.row
    LEFT JOIN known_reversal($upto) AS o ON o.entry_batch = e.batch AND o.entry_row = e.row
    WHERE e.batch IS NULL
        OR b.batch IS NOT NULL
        OR t.reason IS NULL
        OR coalesce(t.scope, '') NOT IN ('entry', 'undo', 're_issue', 'correction', 'file', 'batch')
        -- What a correction or a file reversed took back does not stand again.
        OR o.scope IN ('correction', 'file', 'batch')
        OR (e.batch, e.row) >= (r.batch, r.row)
        OR (r.ms, r.worker_id, r.day, r.line_batch, r.line_row)
            IS DISTINCT FROM (-e.ms, e.worker_id, e.day, e.line_batch, e.line_row)
    UNION ALL
    SELECT batch, row
    FROM standing
    WHERE times > 1
)

SELECT batch AS entry_batch, row AS entry_row
FROM wrong
ORDER BY entry_batch, entry_row
