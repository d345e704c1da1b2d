-- reissues_not_ended_once: re-issues ended twice or that never were, and lines held for one that is not open.
-- In:  $upto BIGINT, the last batch that counts
-- Out: batch BIGINT; row BIGINT
WITH ends AS (
    SELECT reissue_batch, reissue_row, count(*) AS times
    FROM known_reissue_end($upto)
    GROUP BY reissue_batch, reissue_row
),

wrong AS (
    SELECT e.reissue_batch AS batch, e.reissue_row AS row
    FROM ends AS e
    LEFT JOIN reissue($upto) AS i ON i.batch = e.reissue_batch AND i.row = e.reissue_row AND i.row = i.reissue_row
    WHERE e.times > 1 OR i.batch IS NULL
    UNION ALL
    SELECT o.line_batch AS batch, o.line_row AS row
    FROM line_standing($upto) AS o
    ANTI JOIN waiting_reissued_line($upto) AS i ON i.line_batch = o.line_batch AND i.line_row = o.line_row
    WHERE o.outcome = 'held' AND o.reason = 're_issue'
)

SELECT batch, row
FROM wrong
ORDER BY batch, row
