-- reissues_of_lines: the open re-issues that lines wait for, with how many wait for each.
-- In:  $ids VARCHAR[], of the lines as batch.row; $upto BIGINT, the last batch that counts
-- Out: reissue VARCHAR; reissue_batch BIGINT; reissue_row BIGINT; line VARCHAR, the first named, as batch.row; lines_named BIGINT; lines_waiting BIGINT
WITH waiting AS (
    SELECT DISTINCT
        i.reissue,
        i.batch AS reissue_batch,
        i.reissue_row,
        q.line_batch,
        q.line_row,
        q.line_batch || '.' || q.line_row AS id
    FROM waiting_reissued_line($upto) AS i
    INNER JOIN line_questioned($upto) AS q ON q.line_batch = i.line_batch AND q.line_row = i.line_row
    WHERE q.reason = 're_issue'
),

counted AS (
    SELECT
        reissue,
        reissue_batch,
        reissue_row,
        arg_min(id, (line_batch, line_row)) FILTER (WHERE id IN (SELECT unnest($ids::VARCHAR[]))) AS line,
        count(*) FILTER (WHERE id IN (SELECT unnest($ids::VARCHAR[]))) AS lines_named,
        count(*) AS lines_waiting
    FROM waiting
    GROUP BY reissue, reissue_batch, reissue_row
)

SELECT reissue, reissue_batch, reissue_row, line, lines_named, lines_waiting
FROM counted
WHERE lines_named > 0
ORDER BY reissue_batch, reissue_row
